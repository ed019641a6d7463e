//! The program killed at random moments, fifty times or as often as `TANGWRIGHT_KILLS` says, while a design is edited, kept and saved: each time the design file opens, and from it or the
//! recovery at most the last second is lost.
//!
//! The killed process is this test program itself, started on one test; it prints every edit it has made with its own time. On Unix
//! `Child::kill` is SIGKILL, which no process can catch (signal(7)).

#![expect(
    clippy::expect_used,
    reason = "helpers of a test may stop it with a message"
)]

#[path = "common/bench_set.rs"]
mod bench_set;

use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use bench_set::edited;
use tangwright::files::{Folders, Keeper, Over, Recovery, open_design, save_design};
use tangwright::knife::KnifeSet;

/// Names the folder a child works in.
const FOLDER: &str = "TANGWRIGHT_KILLED_FOLDER";
/// Names the way it works.
const WAY: &str = "TANGWRIGHT_KILLED_WAY";
const KILLS: u32 = 50;
/// Says how often instead.
const KILLS_VARIABLE: &str = "TANGWRIGHT_KILLS";
/// What a crash may cost.
const MOST_LOST: Duration = Duration::from_secs(1);

/// One test at a time: between its fork and its own program a child holds every lock of its parent, and what was kept under one would seem to belong to a
/// living process.
static ALONE: Mutex<()> = Mutex::new(());

/// How a child works, and for how long at most.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Way {
    /// It keeps and saves without rest, so that it is mostly killed while it writes; nothing it told may be lost.
    WithoutRest,
    /// It edits and now and then saves.
    Saving,
    /// It edits for longer than the second that may be lost and never saves.
    Keeping,
}

impl Way {
    const ALL: [Self; 5] = [
        Self::WithoutRest,
        Self::Saving,
        Self::WithoutRest,
        Self::Keeping,
        Self::WithoutRest,
    ];

    /// The shortest time it lives, and how much longer it may, seconds.
    fn life(self) -> (f64, f64) {
        match self {
            Self::WithoutRest => (0.03, 0.15),
            Self::Saving => (0.03, 0.9),
            Self::Keeping => (1.3, 1.0),
        }
    }
}

fn design_in(folder: &Path) -> PathBuf {
    folder.join("set.tangwright")
}

/// The number of edits a set says it had; the whole set must be that of the number.
fn edits_of(set: &KnifeSet) -> u32 {
    let edits = set.name.parse().expect("a number");
    assert_eq!(*set, edited(edits));
    edits
}

/// Edits as a maker would who never stops: a change every few milliseconds, saved after so many. `made` hears of each edit after it was handed
/// over.
fn edit(folder: &Path, edits: u32, save_after: u32, mut made: impl FnMut(u32)) -> Keeper {
    let design = design_in(folder);
    let recovery = Recovery::start(&Folders::under(folder)).expect("a slot");
    let keeper = Keeper::start(recovery).expect("a thread");
    for i in 1..=edits {
        let set = edited(i);
        keeper.keep(set.clone(), Some(design.clone()));
        made(i);
        if i % save_after == 0 {
            save_design(&design, &set, Over::Anything).expect("saved");
            keeper.clear();
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    keeper
}

/// Nothing but writing: a state kept, a design saved, and again.
fn write_without_rest(folder: &Path, mut made: impl FnMut(u32)) {
    let design = design_in(folder);
    let mut recovery = Recovery::start(&Folders::under(folder)).expect("a slot");
    for i in 1.. {
        let set = edited(i);
        recovery.keep(&set, Some(&design)).expect("kept");
        save_design(&design, &set, Over::Anything).expect("saved");
        made(i);
    }
}

/// What a child does until it is killed; started on its own it edits for a moment and ends well.
#[test]
fn edits_are_kept() {
    let began = Instant::now();
    let say = |i| {
        let mut out = std::io::stdout().lock();
        // If nobody listens any more, the kill is near.
        let _ = writeln!(out, "edit {i} {}", began.elapsed().as_millis());
        let _ = out.flush();
    };
    if let Some(folder) = std::env::var_os(FOLDER) {
        let folder = Path::new(&folder);
        let way = std::env::var(WAY).expect("a way");
        match Way::ALL.into_iter().find(|own| format!("{own:?}") == way) {
            Some(Way::WithoutRest) => write_without_rest(folder, say),
            Some(Way::Saving) => drop(edit(folder, u32::MAX, 40, say)),
            Some(Way::Keeping) => drop(edit(folder, u32::MAX, u32::MAX, say)),
            None => panic!("there is no way {way}"),
        }
        return;
    }
    let _alone = ALONE.lock().unwrap_or_else(PoisonError::into_inner);
    let dir = tempfile::tempdir().expect("a temporary folder");
    drop(edit(dir.path(), 50, 40, |_| {}));
    assert_eq!(newest(dir.path()), (40, Some(50)));
}

/// Edits in the design file, and in the recovery if it has any.
fn newest(folder: &Path) -> (u32, Option<u32>) {
    let (set, _) = open_design(&design_in(folder)).expect("the design opens");
    let mut recovery = Recovery::start(&Folders::under(folder)).expect("a slot");
    let mut kept = None;
    for found in recovery.found() {
        let set = found.set.expect("what was kept opens");
        assert_eq!(found.design.as_deref(), Some(&*design_in(folder)));
        kept = kept.max(Some(edits_of(&set)));
        recovery.discard(found.slot).expect("thrown away");
    }
    (edits_of(&set), kept)
}

fn child(folder: &Path, way: Way) -> Child {
    Command::new(std::env::current_exe().expect("this program has a path"))
        .args(["--exact", "edits_are_kept", "--nocapture"])
        .env(FOLDER, folder)
        .env(WAY, format!("{way:?}"))
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("a child can be started")
}

/// The edits a child told, each with its time.
fn told(child: &mut Child) -> Vec<(u32, Duration)> {
    let out = child.stdout.take().expect("it is piped");
    let mut edits = Vec::new();
    for line in BufReader::new(out).lines() {
        let line = line.expect("text");
        let mut words = line.split(' ');
        // The last line may be cut short by the kill.
        if let (Some("edit"), Some(Ok(edit)), Some(Ok(millis)), None) = (
            words.next(),
            words.next().map(str::parse),
            words.next().map(str::parse),
            words.next(),
        ) {
            edits.push((edit, Duration::from_millis(millis)));
        }
    }
    edits
}

#[test]
fn at_most_a_second_is_lost() {
    let _alone = ALONE.lock().unwrap_or_else(PoisonError::into_inner);
    let mut kept_was_newer = 0;
    let mut told_in_all = 0;
    // A walk through the span that hits all parts of it evenly: multiples of the golden ratio (H. Weyl, 1916).
    let asked = std::env::var(KILLS_VARIABLE).ok();
    let kills = asked.map_or(KILLS, |n| n.parse().expect("a number of kills"));
    let moments = (1..=kills).map(|i| (f64::from(i) * 0.618_034).fract());
    for (i, moment) in moments.enumerate() {
        let dir = tempfile::tempdir().expect("a temporary folder");
        let design = design_in(dir.path());
        save_design(&design, &edited(0), Over::Anything).expect("a new file");
        let way = Way::ALL[i % Way::ALL.len()];
        let mut child = child(dir.path(), way);
        let (least, more) = way.life();
        std::thread::sleep(Duration::from_secs_f64(least + more * moment));
        child.kill().expect("it runs until it is killed");
        let told = told(&mut child);
        child.wait().expect("it is gone");
        let (saved, kept) = newest(dir.path());
        let newest = saved.max(kept.unwrap_or(0));
        told_in_all += told.len();
        kept_was_newer += u32::from(kept > Some(saved));
        let Some((_, end)) = told.last() else {
            continue;
        };
        let lost_since = told.iter().find(|(edit, _)| *edit > newest);
        if let Some((edit, when)) = lost_since {
            let lost = *end - *when;
            assert!(
                lost <= MOST_LOST && way != Way::WithoutRest,
                "{way:?}: edit {edit} is lost, {lost:?} before the end; design {saved}, kept {kept:?}"
            );
        }
    }
    let _ = writeln!(
        std::io::stdout(),
        "killed {kills} times: {told_in_all} edits, {kept_was_newer} times the recovery was newer"
    );
    // The test must have seen what it is about.
    assert!(told_in_all > 500, "{told_in_all} edits were made");
    assert!(
        kept_was_newer >= 5,
        "{kept_was_newer} times work was in the recovery only"
    );
}
