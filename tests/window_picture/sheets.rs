//! Sheets chosen in the window, and a telephone's picture, which lies upright however it was held.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex};

use egui::accesskit::Role;
use egui::epaint::{ImageData, Mesh};
use egui::{Color32, ColorImage, Pos2, Shape, TextureId, TexturesDelta, pos2};
use egui_kittest::kittest::Queryable;
use egui_kittest::{Harness, TestRenderer};
use image::{Rgb, RgbImage};
use tangwright::catalog::known_sheet;
use tangwright::files::Folders;
use tangwright::geometry::Point;
use tangwright::window::{StartOptions, Workshop};

use crate::bench::Shop;
use crate::camera::jpeg;
use crate::shell::set;

/// ANSI/ASME Y14.1: 11 by 8 1/2 inches; ISO/IEC 7810, ID-1: 85.60 by 53.98 mm; ISO 216: A4.
const SHEETS: [(&str, f64, f64, bool); 3] = [
    ("letter", 279.4, 215.9, false),
    ("card", 85.6, 53.98, true),
    ("a4", 297.0, 210.0, false),
];

/// Rolls something into sight and clicks it.
fn reach_and_click(
    shop: &mut Shop,
    find: impl for<'a> Fn(&'a Harness<'static, Workshop>) -> egui_kittest::Node<'a>,
) {
    find(&shop.window).scroll_to_me();
    shop.frames(3);
    find(&shop.window).click();
    shop.frames(3);
}

/// Chosen by its name from the list, each makes the picture as large as it is itself; the card says by itself that the knife lies beside it.
#[test]
fn each_known_sheet_is_chosen_by_name_and_squares_to_its_own_size() {
    let mut shop = Shop::new();
    let path = shop.plate();
    let own = shop.lay(&path);
    shop.click("by a sheet, true size of the picture");
    let marks = [(20.0, 185.0), (385.0, 190.0), (330.0, 20.0), (70.0, 15.0)].map(Point::from);
    for (key, long, short, beside) in SHEETS {
        let name = known_sheet(key).unwrap().name;
        reach_and_click(&mut shop, |window| {
            window.get_by_role_and_label(Role::ComboBox, "sheet")
        });
        // The list itself stands over the card and comes last.
        reach_and_click(&mut shop, |window| {
            window.query_all_by_label(name).last().unwrap()
        });
        let bench = &mut shop.window.state_mut().session_mut().picture;
        assert_eq!((bench.sheet.as_str(), bench.beside), (key, beside));
        // As if the maker had dragged the marks there; that is another test's.
        bench.corners = marks;
        shop.click("Square it");
        let squared = shop.picture();
        assert_eq!(squared.squared.unwrap().beside, beside, "{key}");
        let way = squared.bench_from_picture().unwrap();
        let [a, b, c, d] = marks.map(|p| way.apply(p).unwrap());
        for (one, other, mm) in [(a, b, long), (b, c, short), (c, d, long), (d, a, short)] {
            let off = one.distance(other) - mm;
            assert!(off.abs() < 1e-6, "{key}: {off} off {mm}");
        }
        assert!((a.distance(c) - long.hypot(short)).abs() < 1e-6, "{key}");
        shop.undo();
        assert_eq!(shop.picture(), own);
    }
}

/// Whether the knife lies beside a chosen sheet is the maker's to say.
#[test]
fn the_knife_may_lie_beside_any_sheet() {
    let mut shop = Shop::new();
    let path = shop.plate();
    shop.lay(&path);
    shop.click("by a sheet, true size of the picture");
    shop.click("Knife lies beside it");
    shop.click("Square it");
    assert!(shop.picture().squared.unwrap().beside);
    shop.click("Knife lies beside it");
    shop.click("Square it");
    assert!(!shop.picture().squared.unwrap().beside);
}

/// What the window handed over to be drawn with, by its textures.
type Handed = Arc<Mutex<BTreeMap<TextureId, Arc<ColorImage>>>>;

/// Draws nothing and keeps what it was handed.
struct Keeps(Handed);

impl TestRenderer for Keeps {
    fn handle_delta(&mut self, delta: &mut TexturesDelta) {
        let mut kept = self.0.lock().unwrap();
        delta.free.clear();
        kept.extend(delta.set.drain().flat_map(|(id, images)| {
            let whole = images.into_iter().filter(|part| part.pos.is_none());
            whole.map(move |part| {
                let ImageData::Color(image) = part.image;
                (id, image)
            })
        }));
    }
}

/// A window whose textures can be looked at.
fn watched() -> (Shop, Handed) {
    let home = tempfile::tempdir().unwrap();
    let handed = Handed::default();
    let workshop = Workshop::start(StartOptions {
        file: None,
        folders: Some(Folders::under(&home.path().join("home"))),
        native_dialogs: false,
        set: Some(set()),
    });
    let mut window = Harness::builder()
        .with_size(egui::vec2(1280.0, 720.0))
        .renderer(Keeps(Arc::clone(&handed)))
        .build_eframe(|_| workshop);
    window.run();
    (Shop { window, home }, handed)
}

/// The mesh a texture is drawn on.
fn mesh_of(shop: &Shop, id: TextureId) -> Option<Arc<Mesh>> {
    fn within(shape: &Shape, id: TextureId) -> Option<Arc<Mesh>> {
        match shape {
            Shape::Mesh(mesh) if mesh.texture_id == id => Some(Arc::clone(mesh)),
            Shape::Vec(inner) => inner.iter().find_map(|shape| within(shape, id)),
            _ => None,
        }
    }
    let shapes = &shop.window.output().shapes;
    shapes.iter().find_map(|own| within(&own.shape, id))
}

const RED: [u8; 3] = [200, 30, 30];
const GREEN: [u8; 3] = [30, 200, 30];
const BLUE: [u8; 3] = [30, 30, 200];
const WHITE: [u8; 3] = [220, 220, 220];
/// The picture as it is seen, pixels.
const SEEN: (u32, u32) = (240, 160);

/// What is seen at a pixel: red above green at the left, blue above white at the right.
fn seen(x: u32, y: u32) -> [u8; 3] {
    match (x < SEEN.0 / 2, y < SEEN.1 / 2) {
        (true, true) => RED,
        (true, false) => GREEN,
        (false, true) => BLUE,
        (false, false) => WHITE,
    }
}

/// How a telephone stores it that notes this number: by Exif's table (JEITA CP-3451, 4.6.4, Orientation) row 0 and column 0 are seen at the top and the left
/// (1), at the bottom and the right (3), at the right and the top (6), at the left and the bottom (8).
fn stored(note: u8) -> RgbImage {
    let (w, h) = SEEN;
    let (wide, high) = if note >= 5 { (h, w) } else { (w, h) };
    RgbImage::from_fn(wide, high, |x, y| {
        let (x, y) = match note {
            3 => (w - 1 - x, h - 1 - y),
            6 => (w - 1 - y, x),
            8 => (y, h - 1 - x),
            _ => (x, y),
        };
        Rgb(seen(x, y))
    })
}

fn near(color: Color32, wanted: [u8; 3]) -> bool {
    let own = [color.r(), color.g(), color.b()];
    // What JPEG at 95 rounds.
    own.iter().zip(wanted).all(|(a, b)| a.abs_diff(b) < 12)
}

/// A good JPEG of a telephone, held four ways, dropped on the window: it is laid with the sides of what is seen, its pixels are handed over upright, and they
/// are drawn upright.
#[test]
fn a_telephone_s_picture_lies_upright_however_it_was_held() {
    for note in [1, 3, 6, 8] {
        let (mut shop, handed) = watched();
        let path = shop.written("held.jpg", &jpeg(&stored(note), Some(note)));
        let before: Vec<TextureId> = handed.lock().unwrap().keys().copied().collect();
        let own = shop.lay(&path);
        assert_eq!((own.width_px, own.height_px), SEEN, "note {note}");
        assert_eq!(own.turn_rad, 0.0);
        let (id, image) = {
            let handed = handed.lock().unwrap();
            let new: Vec<_> = handed
                .iter()
                .filter(|(id, _)| !before.contains(id))
                .collect();
            let [(id, image)] = new[..] else {
                panic!("note {note}: {} textures", new.len())
            };
            (*id, Arc::clone(image))
        };
        let [wide, high] = image.size;
        assert!(wide > high, "note {note}: {wide} × {high}");
        for (u, v, wanted) in [
            (0.25, 0.25, RED),
            (0.75, 0.25, BLUE),
            (0.25, 0.75, GREEN),
            (0.75, 0.75, WHITE),
        ] {
            let pixel = |share: f64, of: usize| (share * of as f64) as usize;
            let color = image.pixels[pixel(v, high) * wide + pixel(u, wide)];
            assert!(
                near(color, wanted),
                "note {note}: {color:?} is no {wanted:?}"
            );
        }
        // The texture's corners are the drawing's: its first pixel at the upper left, its last at the lower right.
        let mesh = mesh_of(&shop, id).expect("it is drawn");
        let mut drawn = egui::Rect::NOTHING;
        mesh.vertices.iter().for_each(|v| drawn.extend_with(v.pos));
        let at = |uv: Pos2| mesh.vertices.iter().find(|v| v.uv == uv).map(|v| v.pos);
        let corners = [
            (pos2(0.0, 0.0), drawn.left_top()),
            (pos2(1.0, 0.0), drawn.right_top()),
            (pos2(0.0, 1.0), drawn.left_bottom()),
            (pos2(1.0, 1.0), drawn.right_bottom()),
        ];
        for (uv, wanted) in corners {
            let place = at(uv).unwrap_or_else(|| panic!("a corner at {uv:?}"));
            assert!(place.distance(wanted) < 0.01, "note {note}: {place:?}");
        }
        let shape = drawn.width() / drawn.height();
        assert!((shape - 1.5).abs() < 1e-3, "note {note}: {shape}");
    }
}
