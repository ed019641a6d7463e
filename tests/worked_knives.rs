//! The worked example of each blade form: as the example program writes it, whole, weighed, and with nothing that needs mending.

#[path = "../examples/worked_knives.rs"]
#[expect(dead_code, reason = "an example that writes files when it is run")]
mod worked_knives;

use tangwright::checks::{Severity, Thresholds, check};
use tangwright::files::open_design;
use tangwright::knife::starter_forms;
use tangwright::reading::design_file;
use tangwright::weighing::weigh;
use worked_knives::{file_of, worked};

#[test]
fn every_form_has_a_worked_example_that_loads_clean() {
    let mut faults = Vec::new();
    for form in starter_forms() {
        let path = file_of(form);
        let Ok((set, _)) = open_design(&path) else {
            faults.push(format!("{} can't be opened", path.display()));
            continue;
        };
        let knife = &set.knives[0];
        assert_eq!((set.knives.len(), knife.form.as_str()), (1, form.key));
        let up = weigh(knife, &set);
        assert_eq!(up.missing, vec![], "{}", form.key);
        assert!(up.total.is_some() && !up.grinds.is_empty() && !up.parts.is_empty());
        for finding in check(knife, &set, &up, &Thresholds::default()) {
            if finding.severity != Severity::Note {
                faults.push(format!(
                    "{}: {}",
                    form.key,
                    finding.text(&|mm| format!("{mm:.2} mm"))
                ));
            }
        }
    }
    assert_eq!(faults, Vec::<String>::new());
}

#[test]
fn the_examples_are_those_the_program_writes() {
    for form in starter_forms() {
        let written = std::fs::read_to_string(file_of(form)).unwrap();
        let made = design_file::write(&worked(form).unwrap());
        assert!(written == made, "{}: run the example again", form.key);
    }
}
