//! What the readers can read, and the words put into it.

use image::{DynamicImage, GrayAlphaImage, GrayImage, RgbaImage};
use tangwright::files::{Folders, LearnedBar, Settings};
use tangwright::knife::{KnifeSet, orchard_set};
use tangwright::reading::design_file;
use tangwright::sheet::exports::{ExportKind, ExportOptions, export_set};

use super::Dice;
use super::pictures::{jpeg, png, slope};

/// Numbers out of bounds, marks of both kinds of drawing.
pub(crate) const DRAWING_WORDS: &[&[u8]] = &[
    b"1e308",
    b"-1e308",
    b"1e-308",
    b"NaN",
    b"inf",
    b"0",
    b"-0",
    b"-1",
    b"9999999",
    b"10000001",
    b"1e7",
    b"2147483648",
    b"\"",
    b"'",
    b"<",
    b">",
    b"/>",
    b"&",
    b"&#0;",
    b"\xEF\xBB\xBF",
    b"\n",
    b"\r",
    b"\n0\n",
    b"0\nENDSEC\n",
    b"0\nENDBLK\n",
    b"0\nINSERT\n2\nb\n10\n0\n20\n0\n",
    b"42\n1e9\n",
    b"41\n0\n",
    b"50\n1e9\n",
    b"71\n3\n",
    b"230\n-1\n",
    b"%",
    b"em",
    b"Z",
    b"M",
    b"A1 1 0 0 0 0 0",
    b"</g>",
    b"<g>",
    b"transform=\"scale(0)\" ",
    b"<use href=\"#cut\"/>",
];

/// Numbers out of bounds, other kinds of value, marks.
pub(crate) const JSON_WORDS: &[&[u8]] = &[
    b"1e308",
    b"-1e308",
    b"1e-308",
    b"1e999",
    b"NaN",
    b"0",
    b"-0",
    b"-1",
    b"1",
    b"2",
    b"3",
    b"4",
    b"0.05",
    b"4294967295",
    b"4294967296",
    b"99999999999999999999",
    b"null",
    b"true",
    b"[]",
    b"{}",
    b"\"\"",
    b"\"both\"",
    b"\"steel\"",
    b"\"corner\"",
    b"\"smooth\"",
    b"\"\\u0000\"",
    b"\"",
    b",",
    b":",
    b"[",
    b"]",
    b"{",
    b"}",
    b"\n",
    b"\\ud800",
    b"\xFF",
    b"\xEF\xBB\xBF",
    b"\"kind\": \"full\",",
    b"\"id\": 1,",
];

/// Marks of both kinds of picture, and numbers of many bytes.
pub(crate) const PICTURE_WORDS: &[&[u8]] = &[
    b"\xFF\xD8",
    b"\xFF\xD9",
    b"\xFF\xDA",
    b"\xFF\xDB",
    b"\xFF\xC0",
    b"\xFF\xC2",
    b"\xFF\xC4",
    b"\xFF\xDD\x00\x04\x00\x01",
    b"\xFF\xD0",
    b"\xFF\xE1",
    b"\xFF\xFF",
    b"\x00\x00\x00\x00",
    b"\x7F\xFF\xFF\xFF",
    b"\xFF\xFF\xFF\xFF",
    b"\x00\x00\x27\x10",
    b"\x80",
    b"\x00",
    b"\x10",
    b"II*\x00",
    b"MM\x00*",
    b"Exif\x00\x00",
    b"IHDR",
    b"PLTE",
    b"IDAT",
    b"IEND",
    b"tRNS",
    b"eXIf",
    b"acTL",
    b"fcTL",
    b"fdAT",
    b"iCCP",
    b"zTXt",
];

/// What a maker may type.
pub(crate) const TYPED_WORDS: &[&[u8]] = &[
    b"1e308",
    b"1e-320",
    b"9999999999",
    b"0",
    b"-",
    b"+",
    b".",
    b",",
    b"/",
    b"1/0",
    b"3/16",
    b"\xE2\x81\x84",
    b"\xC2\xBD",
    b" ",
    b"\xC2\xA0",
    b"mm",
    b"cm",
    b"m",
    b"in",
    b"\"",
    b"'",
    b"\xE2\x80\xB3",
    b"ft",
    b"g",
    b"kg",
    b"oz",
    b"lb",
    b"\xC2\xB0",
    b"deg",
    b"rad",
    b"x",
    b"x T",
    b"max",
    b"nan",
    b"inf",
    b"\xE2\x88\x92",
    b"one:",
    b"cut:",
    b":",
    b"yes",
    b"mm or",
    b"\x00",
    b"\xFF",
];

/// Our own files of the orchard set of these kinds, and the files of the folder.
fn drawings(kinds: Vec<ExportKind>, folder: Option<&str>, small: &[&str]) -> Vec<Vec<u8>> {
    let set = orchard_set();
    let options = ExportOptions {
        kinds,
        ..ExportOptions::default()
    };
    let files = export_set(set.knives.iter().map(AsRef::as_ref), &set, &options)
        .expect("the orchard set can be exported");
    let mut seeds = of(folder);
    seeds.extend(files.into_iter().map(|file| file.bytes));
    let small = small.iter();
    seeds.extend(small.map(|text| text.replace('|', "\n").into_bytes()));
    seeds
}

fn of(folder: Option<&str>) -> Vec<Vec<u8>> {
    let Some(folder) = folder else {
        return Vec::new();
    };
    let entries = std::fs::read_dir(folder).expect("the folder can be read");
    let files = entries.flatten();
    files
        .filter_map(|entry| std::fs::read(entry.path()).ok())
        .collect()
}

pub(crate) fn svg(folder: Option<&str>) -> Vec<Vec<u8>> {
    drawings(vec![ExportKind::Svg], folder, &SMALL_SVG)
}

pub(crate) fn dxf(folder: Option<&str>) -> Vec<Vec<u8>> {
    let kinds = vec![ExportKind::Dxf, ExportKind::DxfSplines, ExportKind::DxfR12];
    drawings(kinds, folder, &SMALL_DXF)
}

/// The orchard set, files of older versions, and each knife alone.
pub(crate) fn designs(folder: Option<&str>) -> Vec<Vec<u8>> {
    let set = orchard_set();
    let mut seeds = of(folder);
    seeds.push(design_file::write(&set).into_bytes());
    for old in ["version_1", "version_2"] {
        let path = format!("tests/design_file/{old}.tangwright");
        seeds.push(std::fs::read(&path).expect("it runs from the root of the project"));
    }
    for knife in &set.knives {
        let alone = KnifeSet {
            knives: vec![knife.clone()],
            ..set.clone()
        };
        seeds.push(design_file::write(&alone).into_bytes());
    }
    seeds
}

/// Pictures of every kind of pixel, small.
pub(crate) fn pictures(folder: Option<&str>) -> Vec<Vec<u8>> {
    let mut seeds = of(folder);
    let rgb = slope(24, 18);
    let whole = DynamicImage::ImageRgb8(rgb.clone());
    let all = [
        whole.clone(),
        DynamicImage::ImageLuma8(GrayImage::new(25, 17)),
        DynamicImage::ImageLumaA8(GrayAlphaImage::new(18, 19)),
        DynamicImage::ImageRgba8(RgbaImage::new(17, 20)),
        DynamicImage::ImageRgb16(whole.to_rgb16()),
        DynamicImage::ImageLuma16(whole.to_luma16()),
    ];
    seeds.extend(all.iter().map(png));
    for note in [None, Some(1), Some(6), Some(8)] {
        seeds.push(jpeg(&rgb, note));
    }
    seeds
}

/// Nine times in ten the sums of a PNG are made right again: a reader that refuses them would never see the change.
/// W3C PNG specification, section 5.3 and annex D.
pub(crate) fn mend_sums(bytes: &mut [u8], dice: &mut Dice) {
    if !bytes.starts_with(b"\x89PNG\r\n\x1a\n") || dice.below(10) == 0 {
        return;
    }
    let mut at = 8;
    while let Some(head) = bytes.get(at..at + 4) {
        let long = head.iter().fold(0_usize, |n, b| n << 8 | usize::from(*b));
        let (from, to) = (at + 4, at.saturating_add(8).saturating_add(long));
        let Some(kind_and_data) = bytes.get(from..to) else {
            return;
        };
        let sum = sum_of(kind_and_data).to_be_bytes();
        let Some(place) = bytes.get_mut(to..to + 4) else {
            return;
        };
        place.copy_from_slice(&sum);
        at = to + 4;
    }
}

fn sum_of(data: &[u8]) -> u32 {
    let mut sum = u32::MAX;
    for byte in data {
        sum ^= u32::from(*byte);
        for _ in 0..8 {
            sum = (sum >> 1) ^ (0xEDB8_8320 * (sum & 1));
        }
    }
    !sum
}

/// Settings with everything in them, and the usual ones.
pub(crate) fn settings(folder: Option<&str>) -> Vec<Vec<u8>> {
    let mut full = Settings {
        drills_owned: vec!["3.0 mm".to_owned(), "#30".to_owned()],
        screen_per_mm: Some(3.9),
        recent: vec!["rack.tangwright".into()],
        ..Settings::default()
    };
    full.thresholds.insert("web".to_owned(), 1.5);
    full.learned.learn_density("steel_1084", 7.81);
    full.learned.learn_bar(LearnedBar {
        material: "steel_1084".to_owned(),
        nominal_mm: 3.0,
        real_mm: 3.1,
    });
    for (name, process) in [("River cutters", "laser"), ("The yard", "plasma")] {
        let mut own = tangwright::catalog::usual_service(process).expect("a way of cutting");
        name.clone_into(&mut own.name);
        full.services.put(own).expect("a service can be kept");
    }
    "The yard".clone_into(&mut full.services.chosen);
    let home = tempfile::tempdir().expect("a folder for settings");
    let folders = Folders::under(home.path());
    let mut seeds = of(folder);
    for one in [full, Settings::default()] {
        one.save(&folders).expect("settings can be kept");
        seeds.push(std::fs::read(Settings::path(&folders)).expect("and read"));
    }
    seeds
}

pub(crate) fn typed(folder: Option<&str>) -> Vec<Vec<u8>> {
    let mut seeds = of(folder);
    let small = [
        "3",
        "3.2 mm",
        "1/8 in",
        "1 3/16\"",
        "-12,5",
        "+4",
        "1.2 cm",
        "0.5e-3 m",
        "12 ft 3 in",
        "20 g",
        "1 lb 3 oz",
        "15\u{b0}",
        "0.2 rad",
        "1.5 x T",
        "max(1 x T, 1 mm)",
        "one:0",
        "cut:LASER",
        "by-role",
        "yes",
        "0,0 300,0 280,60 10mm,55",
        "120,30,4 1in,2,0.5",
        "r12",
    ];
    seeds.extend(small.map(|text| text.as_bytes().to_vec()));
    seeds
}

/// Drawings of what our own files do not have.
const SMALL_DXF: [&str; 2] = [
    "0|SECTION|2|HEADER|9|$INSUNITS|70|1|0|ENDSEC|0|SECTION|2|TABLES|0|LAYER|2|a|70|1|62|-1|0|ENDSEC|0|SECTION|2|BLOCKS|\
     0|BLOCK|8|0|2|b|70|0|10|1|20|1|0|LWPOLYLINE|8|0|70|1|10|0|20|0|42|0.2|10|9|20|0|10|9|20|2|10|0|20|2|0|INSERT|8|0|2|c|10|2|20|1|70|3|71|2|44|1|45|0.1|0|ENDBLK|\
     0|BLOCK|2|c|0|CIRCLE|10|0|20|0|40|0.2|0|ENDBLK|0|ENDSEC|0|SECTION|2|ENTITIES|0|INSERT|2|b|10|4|20|5|41|1|42|-1|50|30|230|-1|\
     0|ELLIPSE|10|3|20|4|11|1|21|0.5|40|0.4|41|0|42|4|0|ARC|10|3|20|4|40|1|50|10|51|300|0|TEXT|10|1|20|1|1|x|0|ENDSEC|0|EOF|",
    "0|SECTION|2|HEADER|9|$INSUNITS|70|4|0|ENDSEC|0|SECTION|2|ENTITIES|0|SPLINE|70|8|71|2|40|0|40|0|40|0|40|1|40|2|40|3|40|4|40|4|40|4|\
     41|1|41|2|41|1|41|1|41|3|41|1|10|0|20|0|10|50|20|-9|10|90|20|3|10|80|20|20|10|5|20|18|10|0|20|0|\
     0|POLYLINE|66|1|70|1|0|VERTEX|10|20|20|8|42|0.3|0|VERTEX|10|32|20|8|0|VERTEX|10|32|20|11|0|SEQEND|0|ENDSEC|0|EOF|",
];

/// The same in SVG.
const SMALL_SVG: [&str; 2] = [
    "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"4in\" viewBox=\"0 0 400 100\"><style>.c,g>path:first-child{fill:none;stroke:#000}</style>\
     <defs><g id=\"d\"><circle r=\"5\" cx=\"60\" cy=\"50\"/></g><clipPath id=\"k\"><rect width=\"9\" height=\"9\"/></clipPath></defs>\
     <g transform=\"rotate(3) skewX(4)\"><path class=\"c\" d=\"M10 20 H300 q60 20 60 60 c-40 10-90 5-120 5 A300 300 0 0 1 10 80 z m30 5 l9 0 0 9 z\"/><use href=\"#d\"/>\
     <use href=\"#d\" x=\"40\" transform=\"matrix(1 .1 0 2 3 4)\"/><g clip-path=\"url(#k)\"><polyline points=\"100,40 130,40 130,60 100,60 100,40\"/></g></g>\
     <symbol id=\"s\" viewBox=\"0 0 9 9\"><ellipse rx=\"2\" ry=\"3\" cx=\"4\" cy=\"4\"/></symbol><use href=\"#s\" width=\"30\" height=\"20\" x=\"200\" y=\"40\"/>\
     <svg x=\"150\" y=\"30\" width=\"20%\" height=\"40\" viewBox=\"0 0 10 10\"><rect rx=\"2\" width=\"8\" height=\"6\"/></svg><switch><g/></switch></svg>",
    "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"120mm\" height=\"40mm\" viewBox=\"0 0 120 40\"><g fill=\"none\" stroke=\"red\"><path d=\"M5 5H60\"/>\
     <path d=\"M60.02 5V20\"/><path d=\"M5 5v15h55\"/><path d=\"M5 5v15\"/><rect x=\"10\" y=\"8\" width=\"12\" height=\"4\" rx=\"2\"/><circle cx=\"40\" cy=\"12\" r=\"1.6\"/></g></svg>",
];
