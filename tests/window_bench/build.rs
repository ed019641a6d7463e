//! The build sheet in the window: its pages, its words, its way out.

#![expect(clippy::unwrap_used, reason = "helpers of a test may stop it")]

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};

use crate::common::{press, set, window};
use tangwright::files::{Folders, Over, open_design, save_design};
use tangwright::knife::orchard_set;
use tangwright::sheet::{
    BuildOptions, PageOptions, PdfOptions, PrinterFactors, Shape, build_pages, build_steps,
    write_pdf,
};
use tangwright::units::{LengthFormat, LengthUnit, MassUnit};
use tangwright::window::{BenchPage, Preferences, StartOptions, Workshop};

type Window = Harness<'static, Workshop>;

fn at_the_sheet() -> Window {
    let mut window = window(Workshop::new(orchard_set()));
    press(&mut window, Modifiers::NONE, Key::F8);
    assert_eq!(window.state().session().page, BenchPage::Build);
    window
}

/// The words of all pages, as a screen reader gets them.
fn words(window: &Window) -> String {
    (1..)
        .map_while(|page| {
            let name = format!("build sheet, page {page} of ");
            let node = window.query_by_label_contains(&name)?;
            node.accesskit_node().value()
        })
        .collect()
}

#[test]
fn the_sheet_holds_every_step_of_the_whole_set_or_of_one_knife() {
    let mut window = at_the_sheet();
    let all = words(&window);
    for step in [
        "1  Cut the stock",
        "3  Drill before hardening",
        "4  Scribe before grinding",
        "6  Heat treatment",
        "7  Fit the guard",
        "9  Finish and weigh",
    ] {
        assert!(all.contains(step), "{step}");
    }
    assert!(all.contains("Grafting knife") && all.contains("Paring knife"));
    assert!(all.contains("Scribe the lines on every edge before any grinding starts."));
    window.get_by_label("This knife").click();
    window.run();
    let one = words(&window);
    assert!(
        one.contains("Brush chopper") && !one.contains("Grafting knife"),
        "{one}"
    );
    // The chopper has no guard: that step is left out.
    assert!(!one.contains("Fit the guard") && one.contains("Local codes and licensed practice"));
}

/// In a window of another size the same page lies as far from the top as it did, measured in pages.
#[test]
fn the_same_place_is_read_on_when_the_window_is_resized() {
    let mut window = at_the_sheet();
    for _ in 0..3 {
        press(&mut window, Modifiers::NONE, Key::PageDown);
    }
    // Pages are rolled to with motion.
    window.run_steps(40);
    let lies = |window: &Window| {
        let page = window
            .get_by_label_contains("build sheet, page 4 of ")
            .rect();
        f64::from(page.top() / page.height())
    };
    assert_eq!(window.state().session().build.page, 3);
    let before = lies(&window);
    for size in [egui::vec2(900.0, 700.0), egui::vec2(2200.0, 1300.0)] {
        window.set_size(size);
        window.run_steps(40);
        assert_eq!(window.state().session().build.page, 3, "{size}");
        let now = lies(&window);
        // The air between pages keeps its size, and the bars above the page do.
        assert!((now - before).abs() < 0.1, "{size}: {before} {now}");
    }
}

/// The sheet is looked at and saved with these preferences: what was written holds the very pages whose words were seen, and those are the ones wanted.
fn seen_and_printed(change: impl FnOnce(&mut Preferences), name: &str, wanted: &Wanted) -> String {
    let folder = tempfile::tempdir().unwrap();
    let mut window = window(Workshop::start(StartOptions {
        file: None,
        folders: Some(Folders::under(&folder.path().join("home"))),
        native_dialogs: false,
        set: Some(orchard_set()),
    }));
    change(&mut window.state_mut().session_mut().preferences);
    window.run();
    press(&mut window, Modifiers::NONE, Key::F8);
    let seen = words(&window);
    window.get_by_label("Save as PDF").click();
    window.run();
    press(&mut window, Modifiers::COMMAND, Key::A);
    let path = folder.path().display().to_string();
    window.get_by_label("Path").type_text(&path);
    window.run();
    press(&mut window, Modifiers::NONE, Key::Enter);
    let written = std::fs::read(folder.path().join(name)).unwrap();
    let set = orchard_set();
    let knives = set.knives.iter().map(AsRef::as_ref);
    let steps = build_steps(knives, &set, wanted.0);
    let pages = build_pages("Orchard set", &steps, &wanted.1).unwrap();
    assert_eq!(pages.len(), seen.matches("print at 100 %").count());
    let marks = pages.iter().flat_map(|page| &page.marks);
    for entity in pages.iter().flat_map(|page| &page.drawing).chain(marks) {
        if let Shape::Text(text) = &entity.shape {
            assert!(seen.contains(&text.text), "{}", text.text);
        }
    }
    let options = PdfOptions {
        title: "Orchard set: build sheet".into(),
        ..PdfOptions::default()
    };
    assert!(
        written == write_pdf(&pages, &options).unwrap(),
        "the same bytes"
    );
    seen
}

/// How the sheet shall be told, and on what paper.
type Wanted = (BuildOptions, PageOptions);

#[test]
fn what_is_seen_is_what_is_printed() {
    let wanted = (BuildOptions::default(), PageOptions::default());
    let seen = seen_and_printed(|_| {}, "orchard-set-build-a4.pdf", &wanted);
    assert!(seen.contains("370.0 mm by 55.7 mm"), "{seen}");
    assert!(!seen.contains("corrected"), "a true printer is not told");
}

/// Letter (8.5 × 11 in), inches and ounces, steel left on, and a printer that wants × 0.995 across and × 1.008 along. 370 mm and a millimeter are 14.606 in.
#[test]
fn what_is_printed_goes_by_paper_units_figures_and_printer() {
    let printer = PrinterFactors { x: 0.995, y: 1.008 };
    let options = BuildOptions {
        lengths: LengthFormat {
            unit: LengthUnit::DecimalInch,
            decimals: 3,
        },
        masses: MassUnit::Ounce,
        left_on_mm: 0.5,
    };
    let paper = PageOptions {
        paper_width_mm: 8.5 * 25.4,
        paper_height_mm: 11.0 * 25.4,
        correction_x: 0.995,
        correction_y: 1.008,
        ..PageOptions::default()
    };
    let change = |own: &mut Preferences| {
        own.paper = "letter".into();
        own.length_unit = LengthUnit::DecimalInch;
        own.mass_unit = MassUnit::Ounce;
        own.printer = printer;
        own.figures.insert("left-on".into(), 0.5);
    };
    let name = "orchard-set-build-letter.pdf";
    let seen = seen_and_printed(change, name, &(options, paper));
    for words in [
        "14.606 in by ",
        "with 0.020 in left on all round",
        " oz ± ",
        "\ncorrected × 0.9950 level, × 1.0080 upright\n",
    ] {
        assert!(seen.contains(words), "{words}: {seen}");
    }
    assert!(!seen.contains('…'), "nothing is cut short: {seen}");
}

#[test]
fn words_on_the_heat_are_typed_undone_and_saved() {
    let mut window = at_the_sheet();
    let label = "Brush chopper: your words";
    let field = window.get_by_role_and_label(Role::MultilineTextInput, label);
    field.focus();
    window.run();
    window
        .get_by_role_and_label(Role::MultilineTextInput, label)
        .type_text("Kiln of the neighbor");
    window.run();
    // Nothing changes while it is typed.
    assert_eq!(window.state().history().undo_depth(), 0);
    window.get_by_label("Whole page").focus();
    window.run();
    window.run();
    let chopper = &window.state().history().set().knives[0];
    assert_eq!(chopper.heat_words, "Kiln of the neighbor");
    assert_eq!(
        window.state().history().undo_label(),
        Some("change heat-treat words")
    );
    assert!(words(&window).contains("Your words: Kiln of the neighbor"));
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("set.tangwright");
    save_design(&path, window.state().history().set(), Over::Anything).unwrap();
    let (read, _) = open_design(&path).unwrap();
    assert_eq!(read.knives[0].heat_words, "Kiln of the neighbor");
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert!(!words(&window).contains("neighbor"));
}

#[test]
fn the_steels_data_sheet_is_shared_by_its_knives() {
    let mut window = at_the_sheet();
    let label = "Bearing steel AISI/SAE 52100 (100Cr6, 1.3505): its maker's data sheet";
    window
        .get_by_role_and_label(Role::MultilineTextInput, label)
        .focus();
    window.run();
    window
        .get_by_role_and_label(Role::MultilineTextInput, label)
        .type_text("Sheet 12 of the mill");
    window.run();
    window.get_by_label("Whole page").focus();
    window.run();
    window.run();
    // Three knives of the orchard set are of that steel.
    assert_eq!(words(&window).matches("Sheet 12 of the mill").count(), 3);
}

#[test]
fn pages_are_turned_by_keys_and_steps_are_gone_to() {
    let mut window = at_the_sheet();
    let page = |window: &Window| window.state().session().build.page;
    assert_eq!(page(&window), 0);
    let chopper = window.state().session().knife;
    let mut turn = |key, wanted: usize| {
        press(&mut window, Modifiers::NONE, key);
        window.run();
        assert_eq!(page(&window), wanted, "{key:?}");
    };
    turn(Key::PageDown, 1);
    turn(Key::PageDown, 2);
    turn(Key::PageUp, 1);
    turn(Key::Home, 0);
    turn(Key::PageUp, 0);
    assert_eq!(window.state().session().knife, chopper, "the knife stays");
    press(&mut window, Modifiers::NONE, Key::End);
    window.run();
    let last = page(&window);
    assert!(last >= 3, "{last}");
    let of = format!("page {} of {}", last + 1, last + 1);
    window.get_by_label(&of);
    window.get_by_label("1  Cut the stock").click();
    window.run();
    assert_eq!(page(&window), 0);
}

#[test]
fn keys_of_the_drawing_rest_on_another_page() {
    let mut window = at_the_sheet();
    press(&mut window, Modifiers::COMMAND, Key::A);
    assert!(
        window.state().session().picked.is_empty(),
        "nothing is picked unseen"
    );
    // A tool is taken to be used: the drawing comes back.
    press(&mut window, Modifiers::NONE, Key::Num3);
    assert_eq!(window.state().session().page, BenchPage::Drawing);
    press(&mut window, Modifiers::NONE, Key::F8);
    assert_eq!(window.state().session().page, BenchPage::Build);
    press(&mut window, Modifiers::NONE, Key::F6);
    assert_eq!(window.state().session().page, BenchPage::Drawing);
}

#[test]
fn an_empty_rack_says_what_to_do() {
    let mut empty = set();
    empty.knives.clear();
    let mut window = window(Workshop::new(empty));
    press(&mut window, Modifiers::NONE, Key::F8);
    assert_eq!(words(&window), "");
    window.get_by_label_contains("Press + in the rack for a first knife");
}
