//! Text against what lies behind it.

use std::collections::BTreeMap;

use egui::Color32;
use egui_kittest::kittest::NodeT;
use tangwright::window::ThemeChoice;

use crate::painted::{Text, texts};
use crate::screens::{Window, each, orchard};

/// The least of WCAG 2.2, success criterion 1.4.3, for text of ordinary size.
const LEAST: f64 = 4.5;

/// Relative luminance as WCAG 2.2 defines it.
fn luminance(color: Color32) -> f64 {
    let part = |v: u8| {
        let v = f64::from(v) / 255.0;
        if v <= 0.04045 {
            v / 12.92
        } else {
            ((v + 0.055) / 1.055).powf(2.4)
        }
    };
    0.2126 * part(color.r()) + 0.7152 * part(color.g()) + 0.0722 * part(color.b())
}

fn contrast(a: Color32, b: Color32) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// Black on white is 21 : 1 (WCAG 2.2, definition of contrast ratio); #767676 on white is the well-known gray that just passes (from memory).
#[test]
fn contrast_is_that_of_the_standard() {
    assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-9);
    let gray = contrast(Color32::from_rgb(0x76, 0x76, 0x76), Color32::WHITE);
    assert!((gray - 4.54).abs() < 0.005, "{gray}");
}

/// Entries and buttons that can't be used are exempt (the same criterion): where they are.
fn is_off(window: &Window, text: &Text) -> bool {
    let middle = text.rect.center();
    window.root().children_recursive().any(|node| {
        let own = node.accesskit_node();
        own.is_disabled() && node.rect().contains(middle)
    })
}

fn judge(theme: ThemeChoice) {
    let mut window = orchard(theme);
    let mut faint: BTreeMap<String, String> = BTreeMap::new();
    let mut seen = 0;
    each(&mut window, |screen, window| {
        for text in texts(&window.output().shapes) {
            seen += 1;
            let ratio = contrast(text.color, text.behind);
            if ratio < LEAST && !is_off(window, &text) {
                faint.entry(text.words.clone()).or_insert_with(|| {
                    format!(
                        "{ratio:.2} {:?} on {:?} in {screen} at {:?}",
                        text.color,
                        text.behind,
                        text.rect.center()
                    )
                });
            }
        }
    });
    assert!(seen > 2_000, "{seen} texts");
    assert!(faint.is_empty(), "{} faint: {faint:#?}", faint.len());
}

#[test]
fn every_text_can_be_read_on_layout_blue() {
    judge(ThemeChoice::Blue);
}

#[test]
fn every_text_can_be_read_on_paper() {
    judge(ThemeChoice::Paper);
}
