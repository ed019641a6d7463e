//! The disk as it really behaves: full, read-only, missing, changed behind our back. Whatever happens, the file under the name is whole, and
//! the message names it and the mend.

#![expect(
    clippy::expect_used,
    clippy::print_stderr,
    reason = "helpers of a test may stop it with a message, and say what can't be tried here"
)]

#[path = "common/bench_set.rs"]
mod bench_set;

use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::{PoisonError, RwLock, RwLockReadGuard, RwLockWriteGuard};
use std::time::{Duration, SystemTime};

use bench_set::edited;
use tangwright::files::{
    Change, Folders, Keeper, LearnedBar, OpenError, Over, Recovery, SaveError, Settings, Theme,
    WriteError, backup_path, changed_since, open_design, save_design, write_atomically,
};
use tangwright::reading::design_file::{MOST_BYTES, ReadError, write};
use tangwright::units::{LengthUnit, MassUnit};
use tempfile::TempDir;

/// Between its fork and its exec a program that is started holds every lock of this process: whoever starts one keeps those who let locks go waiting.
static STARTING: RwLock<()> = RwLock::new(());

/// Held by a test that starts another program.
fn starts_programs() -> RwLockWriteGuard<'static, ()> {
    STARTING.write().unwrap_or_else(PoisonError::into_inner)
}

/// Held by a test that lets a lock go and wants it free at once.
fn lets_locks_go() -> RwLockReadGuard<'static, ()> {
    STARTING.read().unwrap_or_else(PoisonError::into_inner)
}

fn bench() -> TempDir {
    tempfile::tempdir().expect("a temporary folder")
}

/// Writes a file as any other program would.
fn put(path: &Path, bytes: &[u8]) {
    let mut file = File::create(path).expect("a file can be made");
    file.write_all(bytes).expect("a file can be written");
}

fn text_of(path: &Path) -> String {
    fs::read_to_string(path).expect("a file can be read")
}

/// The names in a folder, sorted.
fn names_in(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .expect("a folder can be listed")
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .to_string_lossy()
                .into()
        })
        .collect();
    names.sort();
    names
}

#[test]
fn a_file_is_replaced_whole() {
    let dir = bench();
    let path = dir.path().join("a.txt");
    write_atomically(&path, b"first").expect("a new file");
    write_atomically(&path, b"second").expect("in its place");
    assert_eq!(text_of(&path), "second");
    assert_eq!(names_in(dir.path()), ["a.txt"]);
}

#[test]
fn what_is_no_file_is_left_alone() {
    let dir = bench();
    let folder = dir.path().join("folder");
    fs::create_dir(&folder).expect("a folder");
    let fault = write_atomically(&folder, b"x").expect_err("a folder is no file");
    assert_eq!(
        fault.to_string(),
        format!(
            "{} is a folder: give a file name inside it",
            folder.display()
        )
    );
    assert!(folder.is_dir());
    assert!(matches!(
        write_atomically(Path::new("/"), b"x"),
        Err(WriteError::Folder { .. })
    ));
    assert!(write_atomically(Path::new(""), b"x").is_err());
    assert_eq!(names_in(dir.path()), ["folder"]);
}

#[cfg(unix)]
#[test]
fn the_full_device_is_left_alone() {
    use std::os::unix::fs::FileTypeExt;
    let full = Path::new("/dev/full");
    let fault = save_design(full, &edited(0), Over::Anything).expect_err("a device is no file");
    assert_eq!(
        fault.to_string(),
        "the design was not saved: /dev/full is a device or a pipe, not a file: choose another name"
    );
    let still = fs::metadata(full).expect("it is still there").file_type();
    assert!(still.is_char_device());
    assert_eq!(
        open_design(full),
        Err(OpenError::NotAFile { path: full.into() })
    );
}

#[test]
fn a_missing_folder_is_named() {
    let dir = bench();
    let gone = dir.path().join("gone").join("a.txt");
    let fault = write_atomically(&gone, b"x").expect_err("there is no folder");
    assert_eq!(
        fault,
        WriteError::NoFolder {
            folder: dir.path().join("gone")
        }
    );
    // A file where a folder should be.
    put(&dir.path().join("file"), b"");
    let below = dir.path().join("file").join("a.txt");
    assert!(matches!(
        write_atomically(&below, b"x"),
        Err(WriteError::NoFolder { .. })
    ));
    assert!(matches!(
        open_design(&below),
        Err(OpenError::NotFound { .. })
    ));
    assert_eq!(names_in(dir.path()), ["file"]);
}

#[cfg(unix)]
#[test]
fn permissions_stay_and_are_kept_to() {
    use std::os::unix::fs::PermissionsExt;
    let dir = bench();
    let path = dir.path().join("a.txt");
    let mode_of = |path: &Path| {
        let known = fs::metadata(path).expect("it is there");
        known.permissions().mode() & 0o7777
    };
    let set_mode = |path: &Path, mode| {
        fs::set_permissions(path, fs::Permissions::from_mode(mode)).expect("it is ours");
    };
    // A new file gets what any program's new file gets here.
    put(&dir.path().join("by another program"), b"");
    write_atomically(&path, b"first").expect("a new file");
    assert_eq!(
        mode_of(&path),
        mode_of(&dir.path().join("by another program"))
    );
    set_mode(&path, 0o640);
    write_atomically(&path, b"second").expect("in its place");
    assert_eq!(mode_of(&path), 0o640);
    // A file marked read-only is left alone, even by the superuser.
    set_mode(&path, 0o440);
    assert_eq!(
        write_atomically(&path, b"third"),
        Err(WriteError::ReadOnlyFile { path: path.clone() })
    );
    assert_eq!(text_of(&path), "second");
}

#[cfg(target_os = "linux")]
#[test]
fn a_folder_of_someone_else_is_named() {
    use std::os::unix::fs::PermissionsExt;
    let dir = bench();
    fs::set_permissions(dir.path(), fs::Permissions::from_mode(0o555)).expect("it is ours");
    let superuser = File::create(dir.path().join("probe")).is_ok();
    // Permissions don't hold for the superuser, but nobody makes a file in /sys (sysfs(5)); some systems mount it read-only.
    let folder = if superuser {
        Path::new("/sys")
    } else {
        dir.path()
    };
    let path = folder.join("a.tangwright");
    let fault = write_atomically(&path, b"x").expect_err("nobody may");
    assert!(
        [
            format!(
                "no permission to write in the folder {}: choose one of your own",
                folder.display()
            ),
            format!(
                "{} lies on a disk that can only be read: choose another one",
                path.display()
            ),
        ]
        .contains(&fault.to_string()),
        "{fault}"
    );
    fs::set_permissions(dir.path(), fs::Permissions::from_mode(0o755)).expect("it is ours");
    // A file that is there but gives an error when read: an address nothing is mapped to (proc_pid_mem(5)).
    assert!(matches!(
        open_design(Path::new("/proc/self/mem")),
        Err(OpenError::Unreadable { .. })
    ));
}

#[cfg(unix)]
#[test]
fn a_link_stays_a_link() {
    use std::os::unix::fs::symlink;
    let dir = bench();
    let shelf = dir.path().join("shelf");
    fs::create_dir(&shelf).expect("a folder");
    put(&shelf.join("real"), b"first");
    symlink("shelf/real", dir.path().join("link")).expect("a link");
    symlink("link", dir.path().join("second link")).expect("a link");
    write_atomically(&dir.path().join("second link"), b"second").expect("through both");
    assert_eq!(text_of(&shelf.join("real")), "second");
    assert!(dir.path().join("second link").is_symlink() && dir.path().join("link").is_symlink());
    // A link to a file that is not there yet makes it.
    symlink("shelf/new", dir.path().join("to new")).expect("a link");
    write_atomically(&dir.path().join("to new"), b"new").expect("through the link");
    assert_eq!(text_of(&shelf.join("new")), "new");
    symlink("b", dir.path().join("a")).expect("a link");
    symlink("a", dir.path().join("b")).expect("a link");
    let round = dir.path().join("a");
    assert_eq!(
        write_atomically(&round, b"x"),
        Err(WriteError::LinksInACircle { path: round })
    );
}

#[test]
fn what_a_dead_process_left_does_no_harm() {
    let dir = bench();
    let design = dir.path().join("set.tangwright");
    let stamp = save_design(&design, &edited(1), Over::Anything).expect("a new file");
    // A process died between writing its part and putting it in place: one long ago, one just now.
    let (old, new) = (
        dir.path().join(".tangwright-aaaaaa.part"),
        dir.path().join(".tangwright-bbbbbb.part"),
    );
    put(&old, b"half a des");
    put(&new, b"half a des");
    let long_ago = fs::metadata(&design)
        .and_then(|known| known.modified())
        .expect("a time")
        - Duration::from_secs(7200);
    File::options()
        .write(true)
        .open(&old)
        .and_then(|file| file.set_modified(long_ago))
        .expect("a file can be dated");
    assert_eq!(open_design(&design), Ok((edited(1), stamp.clone())));
    save_design(&design, &edited(2), Over::Known(&stamp)).expect("in its place");
    // The old part is swept away, the new one may still be written by a living process.
    assert!(!old.exists() && new.exists());
}

#[test]
fn the_last_good_state_is_kept() {
    let dir = bench();
    let path = dir.path().join("set.tangwright");
    let backup = backup_path(&path);
    assert_eq!(backup, dir.path().join("set.tangwright.bak"));
    let first = save_design(&path, &edited(1), Over::Anything).expect("a new file");
    assert!(!backup.exists());
    let second = save_design(&path, &edited(2), Over::Known(&first)).expect("in its place");
    assert_eq!(open_design(&backup).map(|(set, _)| set), Ok(edited(1)));
    // Saving the same again must not push the state before out.
    let again = save_design(&path, &edited(2), Over::Known(&second)).expect("the same");
    assert_eq!(again, second);
    assert_eq!(open_design(&backup).map(|(set, _)| set), Ok(edited(1)));
    // A damaged file is no good state.
    let whole = text_of(&path);
    put(&path, &whole.as_bytes()[..whole.len() / 2]);
    let fault = open_design(&path).expect_err("half a design");
    assert!(
        fault.to_string().ends_with(&format!(
            "\nits last good state is kept in {}: open that",
            backup.display()
        )),
        "{fault}"
    );
    save_design(&path, &edited(3), Over::Anything).expect("in its place");
    assert_eq!(open_design(&backup).map(|(set, _)| set), Ok(edited(1)));
    assert_eq!(open_design(&path).map(|(set, _)| set), Ok(edited(3)));
    // Where the state before can't be kept, the file is left alone.
    fs::remove_file(&backup).expect("it is ours");
    fs::create_dir(&backup).expect("a folder in its place");
    let fault = save_design(&path, &edited(4), Over::Anything).expect_err("no backup");
    assert!(matches!(fault, SaveError::NoBackup { .. }), "{fault}");
    assert_eq!(open_design(&path).map(|(set, _)| set), Ok(edited(3)));
}

#[test]
fn a_change_by_another_program_is_seen() {
    let dir = bench();
    let path = dir.path().join("set.tangwright");
    let stamp = save_design(&path, &edited(1), Over::Anything).expect("a new file");
    assert_eq!(changed_since(&path, &stamp), Change::None);
    // Touched, but the same.
    put(&path, write(&edited(1)).as_bytes());
    let file = File::options().write(true).open(&path).expect("it is ours");
    file.set_modified(SystemTime::UNIX_EPOCH)
        .expect("a file can be dated");
    assert_eq!(changed_since(&path, &stamp), Change::None);
    // The same length and date, another content.
    put(&path, write(&edited(2)).as_bytes());
    let date = stamp.modified().expect("a date");
    File::options()
        .write(true)
        .open(&path)
        .and_then(|file| file.set_modified(date))
        .expect("a file can be dated");
    assert_eq!(changed_since(&path, &stamp), Change::Changed);
    let fault = save_design(&path, &edited(3), Over::Known(&stamp)).expect_err("it was changed");
    assert_eq!(fault, SaveError::Changed { path: path.clone() });
    let (found, _) = open_design(&path).expect("it is still the other program's");
    assert_eq!(found, edited(2));
    let stamp = save_design(&path, &edited(3), Over::Anything).expect("the maker was asked");
    // Gone: nothing is lost by writing it again.
    fs::remove_file(&path).expect("it is ours");
    assert_eq!(changed_since(&path, &stamp), Change::Vanished);
    assert!(matches!(
        open_design(&path),
        Err(OpenError::NotFound { .. })
    ));
    let stamp = save_design(&path, &edited(4), Over::Known(&stamp)).expect("a new file");
    // A folder took its place.
    fs::remove_file(&path).expect("it is ours");
    fs::create_dir(&path).expect("a folder");
    assert_eq!(changed_since(&path, &stamp), Change::Changed);
    assert_eq!(
        open_design(&path),
        Err(OpenError::Folder { path: path.clone() })
    );
    let fault = save_design(&path, &edited(5), Over::Known(&stamp)).expect_err("a folder");
    assert!(matches!(
        fault,
        SaveError::NotWritten {
            problem: WriteError::Folder { .. }
        }
    ));
}

#[test]
fn what_would_not_open_again_is_not_saved() {
    let dir = bench();
    let path = dir.path().join("set.tangwright");
    save_design(&path, &edited(1), Over::Anything).expect("a new file");
    let mut broken = edited(2);
    broken.materials[0].density_g_cm3 = f64::INFINITY;
    let fault = save_design(&path, &broken, Over::Anything).expect_err("no number");
    assert!(matches!(fault, SaveError::WouldNotOpen { .. }), "{fault}");
    assert_eq!(open_design(&path).map(|(set, _)| set), Ok(edited(1)));
}

#[test]
fn a_file_too_large_is_refused_unread() {
    let dir = bench();
    let path = dir.path().join("set.tangwright");
    // Without content on the disk: reading it would take a thousand times the memory there is.
    File::create(&path)
        .and_then(|file| file.set_len(1 << 44))
        .or_else(|_| File::create(&path).and_then(|file| file.set_len(MOST_BYTES as u64 + 1)))
        .expect("a file can be made long");
    assert!(matches!(
        open_design(&path),
        Err(OpenError::Bad {
            problem: ReadError::TooLarge,
            ..
        })
    ));
}

/// Saves a small design, then one that finds no room, and gives the path and the refusal; the small one is unharmed.
fn fill(folder: &Path) -> (PathBuf, SaveError) {
    let path = folder.join("set.tangwright");
    let stamp = save_design(&path, &edited(1), Over::Anything).expect("one fits");
    let mut large = edited(2);
    large.knives[0] = {
        let mut knife = (*large.knives[0]).clone();
        knife.notes = "a long story ".repeat(1_500);
        knife.into()
    };
    for i in 0..30 {
        let mut more = (*large.knives[0]).clone();
        more.id = large.next_id;
        more.name = format!("knife {i}");
        large.next_id += 1;
        large.knives.push(more.into());
    }
    let fault = save_design(&path, &large, Over::Known(&stamp)).expect_err("it is full");
    assert_eq!(open_design(&path).map(|(set, _)| set), Ok(edited(1)));
    let parts = names_in(folder)
        .into_iter()
        .filter(|name| name.ends_with(".part"));
    assert_eq!(parts.count(), 0);
    (path, fault)
}

fn full(path: PathBuf) -> SaveError {
    SaveError::NotWritten {
        problem: WriteError::NoSpace { path },
    }
}

/// Names the folder of a child that may write no file beyond a limit.
const LIMITED: &str = "TANGWRIGHT_LIMITED";

/// A limit on the size of files (setrlimit(2)) stands for a full disk where nothing may be mounted: the system refuses to write on. The test
/// starts itself under the limit.
#[cfg(target_os = "linux")]
#[test]
fn no_space_within_a_limit_is_told() {
    if let Some(folder) = std::env::var_os(LIMITED) {
        let (path, fault) = fill(Path::new(&folder));
        assert_eq!(fault, full(path));
        return;
    }
    let _alone = starts_programs();
    let dir = bench();
    let program = std::env::current_exe().expect("this program has a path");
    let child = Command::new("sh")
        // 128 blocks of at least 512 bytes; without the trap the signal that comes with the refusal would end the child.
        .args(["-c", "trap '' XFSZ && ulimit -f 128 && exec \"$@\"", "sh"])
        .arg(&program)
        .args(["--exact", "no_space_within_a_limit_is_told", "--nocapture"])
        .env(LIMITED, dir.path())
        .output()
        .expect("a shell can be started");
    assert!(
        child.status.success(),
        "{}\n{}",
        String::from_utf8_lossy(&child.stdout),
        String::from_utf8_lossy(&child.stderr)
    );
    let (kept, _) = open_design(&dir.path().join("set.tangwright")).expect("it is unharmed");
    assert_eq!(kept, edited(1));
}

/// A real disk of 128 KB, where this user may mount one (root, as in a container). Elsewhere the limit above is the proof.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_told() {
    let _alone = starts_programs();
    let dir = bench();
    let mount = Command::new("mount")
        .args(["-t", "tmpfs", "-o", "size=128k", "none"])
        .arg(dir.path())
        .output();
    if !mount.is_ok_and(|done| done.status.success()) {
        eprintln!("no disk may be mounted here; see no_space_within_a_limit_is_told");
        return;
    }
    struct Mounted<'a>(&'a Path);
    impl Drop for Mounted<'_> {
        fn drop(&mut self) {
            let _ = Command::new("umount").arg(self.0).status();
        }
    }
    let mounted = Mounted(dir.path());
    let (path, fault) = fill(dir.path());
    assert_eq!(fault, full(path.clone()));
    assert_eq!(
        fault.to_string(),
        format!(
            "the design was not saved: no space left for {}: free some, or choose another disk",
            path.display()
        )
    );
    // The recovery on a full disk: told, and back as soon as there is room.
    let folders = Folders::under(&dir.path().join("home"));
    let recovery = Recovery::start(&folders).expect("a slot takes no space");
    let keeper = Keeper::start(recovery).expect("a thread");
    let stuffing = dir.path().join("stuffing");
    let mut file = File::create(&stuffing).expect("a file can be made");
    while file.write_all(&[0; 1024]).is_ok() {}
    drop(file);
    keeper.keep(edited(7), None);
    keeper.flush();
    let told = keeper.problem().expect("the disk is full");
    assert!(told.contains("no space left"), "{told}");
    fs::remove_file(&stuffing).expect("it is ours");
    keeper.flush();
    assert_eq!(keeper.problem(), None);
    drop(keeper);
    let found = Recovery::start(&folders).expect("a slot").found();
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].set, Ok(edited(7)));
    drop(mounted);
}

#[test]
fn work_left_by_a_crash_is_found_once() {
    let _locks = lets_locks_go();
    let dir = bench();
    let folders = Folders::under(dir.path());
    let mut first = Recovery::start(&folders).expect("a slot");
    let mut second = Recovery::start(&folders).expect("another slot");
    assert!(first.found().is_empty() && second.found().is_empty());
    first.keep(&edited(1), None).expect("kept");
    let design = dir.path().join("set.tangwright");
    second.keep(&edited(2), Some(&design)).expect("kept");
    // Both live: nothing is offered to a third.
    let third = Recovery::start(&folders).expect("a slot");
    assert!(third.found().is_empty());
    drop(third);
    // Dropping without clearing is what a crash does to the lock.
    drop(first);
    drop(second);
    let mut next = Recovery::start(&folders).expect("a slot");
    let found = next.found();
    assert_eq!(found.len(), 2);
    assert_eq!((&found[0].design, &found[0].set), (&None, &Ok(edited(1))));
    assert_eq!(
        (&found[1].design, &found[1].set),
        (&Some(design), &Ok(edited(2)))
    );
    assert!(found.iter().all(|found| found.saved.is_some()));
    // Another window is not offered the same.
    assert!(
        Recovery::start(&folders)
            .expect("a slot")
            .found()
            .is_empty()
    );
    // The state moves on to the new window, then the old one is thrown away.
    next.keep(&edited(1), None).expect("kept");
    next.discard(found[0].slot).expect("thrown away");
    assert_eq!(next.found().len(), 1);
    drop(next);
    let mut last = Recovery::start(&folders).expect("a slot");
    let sets: Vec<_> = last.found().into_iter().map(|found| found.set).collect();
    assert_eq!(sets, [Ok(edited(2)), Ok(edited(1))]);
    for found in last.found() {
        last.discard(found.slot).expect("thrown away");
    }
    // A clean end leaves nothing.
    last.keep(&edited(3), None).expect("kept");
    last.clear().expect("forgotten");
    drop(last);
    assert!(
        Recovery::start(&folders)
            .expect("a slot")
            .found()
            .is_empty()
    );
}

#[test]
fn damaged_recovery_is_told_and_stops_nothing() {
    let _locks = lets_locks_go();
    let dir = bench();
    let folders = Folders::under(dir.path());
    let mut recovery = Recovery::start(&folders).expect("a slot");
    recovery.keep(&edited(1), None).expect("kept");
    drop(recovery);
    for damage in [&b""[..], b"{}", b"\0\0", b"{\"design\":7}\n{"] {
        put(&folders.recovery.join("0.kept"), damage);
        let mut next = Recovery::start(&folders).expect("a slot");
        let found = next.found();
        assert_eq!(found.len(), 1);
        assert!(matches!(found[0].set, Err(OpenError::Bad { .. })));
        next.keep(&edited(2), None).expect("kept");
        next.clear().expect("forgotten");
    }
    // A file where the folder should be.
    let folders = Folders::under(&dir.path().join("recovery").join("0.kept"));
    let fault = Recovery::start(&folders).expect_err("no folder");
    assert!(
        fault.to_string().contains("make that folder writable"),
        "{fault}"
    );
}

#[cfg(unix)]
#[test]
fn a_name_that_is_no_text_survives() {
    let _locks = lets_locks_go();
    use std::os::unix::ffi::OsStringExt;
    let dir = bench();
    let folders = Folders::under(dir.path());
    let odd = PathBuf::from(std::ffi::OsString::from_vec(
        b"/tmp/caf\xe9\n.tangwright".to_vec(),
    ));
    let mut recovery = Recovery::start(&folders).expect("a slot");
    recovery.keep(&edited(1), Some(&odd)).expect("kept");
    drop(recovery);
    let found = Recovery::start(&folders).expect("a slot").found();
    assert_eq!(found[0].design.as_deref(), Some(odd.as_path()));
}

#[test]
fn the_keeper_writes_the_newest_and_ends_clean() {
    let _locks = lets_locks_go();
    let dir = bench();
    let folders = Folders::under(dir.path());
    let left = || Recovery::start(&folders).expect("a slot").found();
    let keeper = || Keeper::start(Recovery::start(&folders).expect("a slot")).expect("a thread");
    // Dropped (a window that ends in a hurry): the newest state is on the disk.
    let first = keeper();
    for i in 0..500 {
        first.keep(edited(i), None);
    }
    drop(first);
    let found = left();
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].set, Ok(edited(499)));
    // The new window keeps it as its own before the old one goes.
    let second = keeper();
    second.keep(edited(499), None);
    second.discard(found[0].slot);
    second.flush();
    assert_eq!(second.problem(), None);
    assert_eq!(names_in(&folders.recovery), ["0.lock", "1.kept", "1.lock"]);
    // Saved: nothing is kept; changed again: it is.
    second.clear();
    second.flush();
    assert_eq!(names_in(&folders.recovery), ["0.lock", "1.lock"]);
    second.keep(edited(600), None);
    second.flush();
    assert_eq!(names_in(&folders.recovery), ["0.lock", "1.kept", "1.lock"]);
    second.finish();
    assert!(left().is_empty());
}

#[test]
fn settings_come_back() {
    let dir = bench();
    let folders = Folders::under(&dir.path().join("not there yet"));
    let usual = Settings::load(&folders);
    assert_eq!(usual.settings, Settings::default());
    assert!(usual.messages.is_empty());
    let mut own = Settings {
        mass: MassUnit::Ounce,
        theme: Theme::Paper,
        screen_per_mm: Some(3.78),
        text_zoom: 1.25,
        printer_x: 0.998,
        printer_y: 1.0021,
        paper: "letter".into(),
        drills_owned: vec!["#30".into(), "1/8".into()],
        ..Settings::default()
    };
    own.length.unit = LengthUnit::FractionInch;
    own.length.decimals = 3;
    own.thresholds.insert("web".into(), 2.5);
    let bar = LearnedBar {
        material: "steel_1084".into(),
        nominal_mm: 3.0,
        real_mm: 3.12,
    };
    assert!(own.learned.learn_bar(bar) && own.learned.learn_density("steel_1084", 7.81));
    for i in 0..15 {
        own.remember(&dir.path().join(format!("{i}.tangwright")));
    }
    own.remember(&dir.path().join("9.tangwright"));
    let names: Vec<_> = own
        .recent
        .iter()
        .map(|path| path.file_stem().expect("a name").to_string_lossy())
        .collect();
    assert_eq!(
        names,
        ["9", "14", "13", "12", "11", "10", "8", "7", "6", "5"]
    );
    own.save(&folders).expect("saved");
    let back = Settings::load(&folders);
    assert_eq!((back.settings, back.messages), (own, vec![]));
}

#[test]
fn bad_settings_stop_nothing() {
    let dir = bench();
    let folders = Folders::under(dir.path());
    Settings::default().save(&folders).expect("saved");
    let path = Settings::path(&folders);
    let good = text_of(&path);
    // One bad value costs that value only.
    for (field, old, new) in [
        ("theme", "\"system\"", "\"pink\""),
        ("text_zoom", "1.0", "0"),
        ("printer_x", "1.0", "\"wide\""),
        ("length_unit", "\"mm\"", "7"),
        ("length_decimals", "1", "77"),
        ("screen_per_mm", "null", "-1"),
        ("recent", "[]", "[3]"),
        ("thresholds", "{}", "{\"web\": \"thin\"}"),
        (
            "learned",
            "{\n    \"bars\": [],\n    \"densities\": {}\n  }",
            "{\"densities\": {\"steel_1084\": -7.8}}",
        ),
    ] {
        let old = format!("\"{field}\": {old}");
        assert!(good.contains(&old), "{good}");
        let changed = good
            .replace(&old, &format!("\"{field}\": {new}"))
            .replace("\"paper\": \"a4\"", "\"paper\": \"a3\", \"later\": {}");
        put(&path, changed.as_bytes());
        let read = Settings::load(&folders);
        let expected = Settings {
            paper: "a3".into(),
            ..Settings::default()
        };
        assert_eq!(read.settings, expected, "{field}");
        let [message] = &read.messages[..] else {
            panic!("{:?}", read.messages);
        };
        assert!(
            message.contains(&format!(": {field} must be ")),
            "{message}"
        );
    }
    // A bad file is set aside.
    let newer = good.replace("\"tangwright_settings\": 1", "\"tangwright_settings\": 2");
    let many = "[".repeat(1_000_000);
    for bad in ["", "{", "\0", "[]", "{}", newer.as_str(), many.as_str()] {
        put(&path, bad.as_bytes());
        let read = Settings::load(&folders);
        assert_eq!(read.settings, Settings::default());
        assert_eq!(read.messages.len(), 1, "{:?}", read.messages);
        assert_eq!(names_in(&folders.config), ["settings.json.bad"]);
        assert_eq!(text_of(&folders.config.join("settings.json.bad")), bad);
    }
    // A folder in its place.
    fs::create_dir(&path).expect("a folder");
    let read = Settings::load(&folders);
    assert_eq!(read.settings, Settings::default());
    assert_eq!(read.messages.len(), 1);
    assert!(Settings::default().save(&folders).is_err());
}
