//! `printer`: the page, and what it measures taken into the settings and into every later page.

use std::path::Path;

use crate::bench::{at_home, command, drilled_plate, finish, folder, names_in, saved};

#[test]
fn what_the_bars_measure_corrects_every_later_page() {
    let (home, work) = (folder(), folder());
    let page = work.path().join("printer.pdf");
    let ran = at_home(home.path(), &arguments!["printer", "--out", page]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    let plain = std::fs::read(&page).expect("written");
    assert!(plain.starts_with(b"%PDF"));
    // The bars of an A4 page: 230 mm and 160 mm, so 230/228.2 and 160/160.8.
    let ran = at_home(
        home.path(),
        &arguments!["printer", "--long", "228.2", "--short", "160.8"],
    );
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert!(
        ran.out.contains("× 0.9950") && ran.out.contains("× 1.0079"),
        "{}",
        ran.out
    );
    let design = saved(work.path(), vec![drilled_plate()]);
    let template = |home: &Path, name: &str| {
        let out = work.path().join(name);
        let ran = at_home(home, &arguments!["template", design, "--pdf", "--out", out]);
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        let [file] = &names_in(&out)[..] else {
            panic!("one template: {:?}", names_in(&out));
        };
        std::fs::read(out.join(file)).expect("written")
    };
    let corrected = template(home.path(), "corrected");
    let elsewhere = folder();
    let uncorrected = template(elsewhere.path(), "uncorrected");
    assert!(corrected.starts_with(b"%PDF") && uncorrected.starts_with(b"%PDF"));
    assert_ne!(corrected, uncorrected, "the factors are in the page");
    // The build sheet is printed by the same printer.
    let sheet = |home: &Path, name: &str| {
        let out = work.path().join(name);
        let ran = at_home(home, &arguments!["build", design, "--out", out]);
        assert_eq!(ran.code, Some(0), "{}", ran.err);
        std::fs::read(out).expect("written")
    };
    let plain_sheet = sheet(elsewhere.path(), "plain-build.pdf");
    assert_ne!(sheet(home.path(), "build.pdf"), plain_sheet);
    // The printer page itself stays as drawn.
    let again = work.path().join("again.pdf");
    at_home(home.path(), &arguments!["printer", "--out", again]);
    assert_eq!(std::fs::read(&again).expect("written"), plain);
    // Taken back, every page is as it was.
    let ran = at_home(home.path(), &arguments!["printer", "--plain"]);
    assert_eq!(ran.code, Some(0), "{}", ran.err);
    assert_eq!(template(home.path(), "taken-back"), uncorrected);
    assert_eq!(sheet(home.path(), "build-again.pdf"), plain_sheet);
}

#[test]
fn a_length_no_bar_can_have_changes_nothing() {
    let home = folder();
    let ran = at_home(
        home.path(),
        &arguments!["printer", "--long", "25", "--short", "16"],
    );
    assert_eq!(ran.code, Some(1));
    assert!(
        ran.err.contains("the long bar is drawn 230 mm"),
        "{}",
        ran.err
    );
    assert!(!home.path().join("config").join("settings.json").exists());
    let ran = at_home(home.path(), &arguments!["printer", "--long", "228"]);
    assert_eq!(ran.code, Some(2), "one bar alone is not enough");
    let ran = at_home(home.path(), &arguments!["printer"]);
    assert_eq!(ran.code, Some(2), "nothing was asked for");
}

/// Where nothing names a folder for it, what the maker sets is kept where the XDG Base Directory Specification 0.8 wants it: in `$XDG_CONFIG_HOME`, else in
/// `$HOME/.config`, under the program's own name.
#[cfg(target_os = "linux")]
#[test]
fn settings_lie_where_the_system_wants_them() {
    let (home, config) = (folder(), folder());
    let keep = |config: Option<&Path>| {
        let mut command = command(&["printer", "--long", "228.2", "--short", "160.8"]);
        command
            .env_remove("TANGWRIGHT_HOME")
            .env("HOME", home.path())
            .env_remove("XDG_CONFIG_HOME")
            .env("XDG_DATA_HOME", home.path().join("data"));
        if let Some(config) = config {
            command.env("XDG_CONFIG_HOME", config);
        }
        let ran = finish(&mut command);
        assert_eq!(ran.code, Some(0), "{}", ran.err);
    };
    let has_factors = |path: &Path| {
        let text = std::fs::read_to_string(path).unwrap_or_default();
        text.contains("1.0078")
    };
    keep(Some(config.path()));
    let own = config.path().join("tangwright");
    assert!(has_factors(&own.join("settings.json")), "{own:?}");
    assert_eq!(names_in(config.path()), ["tangwright"]);
    assert!(names_in(home.path()).is_empty(), "nothing elsewhere");
    keep(None);
    let usual = home.path().join(".config").join("tangwright");
    assert!(has_factors(&usual.join("settings.json")), "{usual:?}");
    assert_eq!(names_in(&home.path().join(".config")), ["tangwright"]);
}
