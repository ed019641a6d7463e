//! Help, version, wrong use, no display, and answers nobody takes.

use super::bench::{command, drilled_plate, finish, folder, run, saved};

#[test]
fn help_and_version_are_answers() {
    let ran = run(&["--help"]);
    assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""));
    for word in ["weigh", "check", "template", "new", "import", "Exit codes"] {
        assert!(ran.out.contains(word), "{word} is not in the help");
    }
    let ran = run(&["--version"]);
    assert_eq!(ran.code, Some(0));
    assert_eq!(
        ran.out.trim(),
        concat!("tangwright ", env!("CARGO_PKG_VERSION"))
    );
    for name in ["weigh", "check", "template", "new", "import"] {
        let ran = run(&[name, "--help"]);
        assert_eq!((ran.code, ran.err.as_str()), (Some(0), ""), "{name}");
    }
    let forms = run(&["new", "--help"]).out;
    for form in tangwright::knife::starter_forms() {
        assert!(forms.contains(form.key), "{} is not listed", form.key);
    }
}

#[test]
fn wrong_use_is_told_on_the_other_stream() {
    for wrong in [
        &["weigh"][..],
        &["weigh", "a", "b"],
        &["weigh", "a", "--yaml"],
        &["check", "a", "--knife", "x"],
        &["template", "a"],
        &["template", "a", "--out", "d", "--paper", "a9"],
        &["new", "paring"],
        &["a", "b"],
    ] {
        let ran = run(wrong);
        assert_eq!(ran.code, Some(2), "{wrong:?}");
        assert_eq!(ran.out, "", "{wrong:?}");
        assert!(ran.err.contains("error:"), "{wrong:?}: {}", ran.err);
    }
    let ran = run(&["new", "parring", "--out", "x.tangwright"]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.err.contains("'paring'"), "{}", ran.err);
}

#[test]
fn without_a_display_one_line_says_what_works() {
    for arguments in [&[][..], &["set.tangwright"]] {
        let ran = run(arguments);
        assert_eq!(ran.code, Some(2));
        assert_eq!(ran.out, "");
        assert_eq!(ran.err.lines().count(), 1, "{}", ran.err);
        assert!(ran.err.contains("no display"), "{}", ran.err);
        assert!(ran.err.contains("tangwright weigh FILE"), "{}", ran.err);
        assert!(!ran.err.contains(".rs"), "{}", ran.err);
    }
}

#[test]
#[cfg(target_os = "linux")]
fn a_full_disk_is_told() {
    let folder = folder();
    let file = saved(folder.path(), vec![drilled_plate()]);
    for name in ["weigh", "check"] {
        let full = std::fs::File::options()
            .write(true)
            .open("/dev/full")
            .expect("/dev/full");
        let arguments = arguments![name, file];
        let ran = finish(command(&arguments).stdout(full));
        assert_eq!(ran.code, Some(1), "{name}");
        assert!(ran.err.contains("could not be written"), "{}", ran.err);
    }
}

#[test]
fn a_reader_that_goes_away_is_no_error() {
    let folder = folder();
    let file = saved(folder.path(), vec![drilled_plate()]);
    for arguments in [
        arguments!["weigh", file],
        arguments!["check", file, "--json"],
        arguments!["--help"],
    ] {
        let (reader, writer) = std::io::pipe().expect("a pipe can be made");
        drop(reader);
        let mut command = command(&arguments);
        let child = command
            .stdout(writer)
            .stderr(std::process::Stdio::piped())
            .spawn()
            .expect("the program can be started");
        let output = child.wait_with_output().expect("it ends");
        assert_eq!(output.status.code(), Some(0));
        assert_eq!(String::from_utf8_lossy(&output.stderr), "");
    }
}
