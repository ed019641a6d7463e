//! What can be told of an SVG from its tree of elements, before `usvg` works it out.
//!
//! Copies (`use`) are counted as they would be written out; numbers are kept within what drawings have, because curves are cut in more parts the
//! larger they are; style rules are counted against the elements they are tried on; clips, masks, markers, patterns and filters, which only paint, are
//! switched off by a style sheet of our own.

use std::collections::HashMap;

use usvg::roxmltree::{Document, Node};

use super::super::error::ImportError;
use super::svg_error;

/// Most nodes of the tree, blanks between elements counted.
pub(super) const MOST_NODES: u32 = 500_000;
/// Deepest nesting of elements, copies counted; `usvg` calls itself once a level. Drawing programs nest a dozen.
const DEEPEST: u32 = 120;
/// Most nodes, attributes and numbers after copies are written out.
const MOST_WORK: u64 = 4_000_000;
/// Most bytes of style rules times elements they are tried on.
const MOST_STYLING: u64 = 400_000_000;
/// Most bytes of styles times declarations in them: for each declaration the reader of styles counts lines from the beginning.
const MOST_DECLARING: u64 = 200_000_000;
/// Most elements inside clips, masks, markers, patterns and filters.
const MOST_PAINTING: usize = 2_000;
/// Largest number of a drawing, in its own unit: ten kilometers if that is the millimeter.
const LARGEST_NUMBER: f64 = 1e7;
/// Copies of copies of copies: a drawing program writes two.
const MOST_COPY_LEVELS: usize = 16;

/// Attributes whose numbers decide where lines are.
const GEOMETRY: [&str; 18] = [
    "d",
    "points",
    "x",
    "y",
    "x1",
    "y1",
    "x2",
    "y2",
    "cx",
    "cy",
    "r",
    "rx",
    "ry",
    "width",
    "height",
    "viewBox",
    "font-size",
    "stroke-width",
];

/// What was counted.
#[derive(Debug, Default)]
pub(super) struct Census {
    /// Elements with words.
    pub words: usize,
    /// Elements inside clips, masks, markers, patterns and filters.
    painting: usize,
    /// Whether there are patterns or gradients, which are worked out anew for every shape they fill.
    patterned: bool,
}

impl Census {
    /// The style sheet that switches off what only paints; `None` where there is nothing of it.
    pub(super) fn style_sheet(&self) -> Option<String> {
        let off = "marker-start:none!important;marker-mid:none!important;marker-end:none!important;\
                   filter:none!important;mask:none!important;clip-path:none!important;";
        let plain = if self.patterned {
            "fill:none!important;stroke:#000!important;"
        } else {
            ""
        };
        (self.painting > 0 || self.patterned).then(|| format!("*{{{off}{plain}}}"))
    }
}

/// Judges a tree.
pub(super) fn judge(document: &Document<'_>) -> Result<Census, ImportError> {
    let mut census = Census::default();
    let mut nodes: Vec<One> = Vec::new();
    let mut ids: HashMap<&str, usize> = HashMap::new();
    let mut copies: Vec<(usize, &str)> = Vec::new();
    let mut style_bytes = 0_u64;
    let mut declaring = 0_u64;
    let mut elements = 0_u64;
    // Parents come before their children.
    for node in document.descendants() {
        let index = node.id().get_usize();
        let parent = node.parent().map_or(0, |parent| parent.id().get_usize());
        let above = nodes.get(parent).copied().unwrap_or_default();
        let mut one = One {
            parent,
            depth: above.depth + 1,
            painting: above.painting,
            work: 1,
            height: 1,
        };
        if one.depth > DEEPEST {
            return Err(too_deep());
        }
        if node.is_element() {
            elements += 1;
            let name = node.tag_name().name();
            match name {
                "clipPath" | "mask" | "marker" | "pattern" | "filter" => one.painting = true,
                "text" => census.words += 1,
                "style" => {
                    let rules = node.text().unwrap_or_default();
                    style_bytes += rules.len() as u64;
                    declaring = declaring.saturating_add(declared(rules));
                }
                _ => {}
            }
            census.patterned |= matches!(name, "pattern" | "linearGradient" | "radialGradient");
            census.painting += usize::from(one.painting);
            let told = judge_attributes(&node, name)?;
            one.work += told.work;
            declaring = declaring.saturating_add(told.style.map_or(0, declared));
            if let Some(id) = told.id {
                ids.insert(id, index);
            }
            if let Some(link) = told.link.filter(|_| name == "use") {
                copies.push((index, link.trim().trim_start_matches('#')));
            }
        }
        nodes.resize(nodes.len().max(index + 1), One::default());
        if let Some(place) = nodes.get_mut(index) {
            *place = one;
        }
    }
    if census.painting > MOST_PAINTING {
        return Err(svg_error(format!(
            "{} elements belong to clips, masks, markers, patterns and filters, which are not cut: take them out, or save the drawing as plain paths",
            census.painting
        )));
    }
    if style_bytes.saturating_mul(elements) > MOST_STYLING || declaring > MOST_DECLARING {
        return Err(svg_error(
            "the drawing has too many style rules: save it as plain SVG, without a style sheet",
        ));
    }
    let copies: Vec<(usize, usize)> = copies
        .into_iter()
        .filter_map(|(from, id)| ids.get(id).map(|to| (from, *to)))
        .collect();
    judge_copies(&nodes, &copies)?;
    Ok(census)
}

/// What reading a style costs: its length for each declaration.
fn declared(style: &str) -> u64 {
    let marks = style
        .bytes()
        .filter(|b| matches!(b, b';' | b'{' | b':' | b'/'));
    (style.len() as u64).saturating_mul(marks.count() as u64 + 1)
}

/// What is kept of a node.
#[derive(Clone, Copy, Debug, Default)]
struct One {
    parent: usize,
    depth: u32,
    painting: bool,
    /// What it and all below it cost.
    work: u64,
    /// Levels from it down.
    height: u32,
}

fn too_deep() -> ImportError {
    svg_error(format!(
        "groups or copies are nested more than {DEEPEST} deep: take the groups apart, or save the drawing as plain paths"
    ))
}

/// Sums up what all copies, written out, would cost.
///
/// Each round adds up the tree from its leaves, every copy counting what its original counted in the round before; so round `n` is right for
/// copies nested `n` deep. What still grows after [`MOST_COPY_LEVELS`] rounds is a circle, or as good as one.
fn judge_copies(nodes: &[One], copies: &[(usize, usize)]) -> Result<(), ImportError> {
    let mut before = added_up(nodes, copies, &[]);
    for _ in 0..=MOST_COPY_LEVELS {
        let root = before.first().copied().unwrap_or_default();
        if root.work > MOST_WORK {
            return Err(ImportError::TooManyPieces);
        }
        if root.height > DEEPEST {
            return Err(too_deep());
        }
        if copies.is_empty() {
            return Ok(());
        }
        let now = added_up(nodes, copies, &before);
        let settled = now
            .first()
            .is_some_and(|first| (first.work, first.height) == (root.work, root.height));
        if settled {
            return Ok(());
        }
        before = now;
    }
    Err(svg_error(
        "copies (use) of copies go round in a circle, or are nested without end: save the drawing as plain paths",
    ))
}

/// The nodes with what each costs with all below it; copies count as their originals did in `before`.
fn added_up(nodes: &[One], copies: &[(usize, usize)], before: &[One]) -> Vec<One> {
    let mut sums = nodes.to_vec();
    for (from, to) in copies {
        let original = before.get(*to).copied().unwrap_or_default();
        if let Some(copy) = sums.get_mut(*from) {
            copy.work = copy.work.saturating_add(original.work);
            copy.height = copy.height.saturating_add(original.height);
        }
    }
    for index in (1..sums.len()).rev() {
        let Some(one) = sums.get(index).copied() else {
            continue;
        };
        if let Some(parent) = sums.get_mut(one.parent) {
            parent.work = parent.work.saturating_add(one.work);
            parent.height = parent.height.max(one.height.saturating_add(1));
        }
    }
    sums
}

/// What an element's attributes tell.
#[derive(Default)]
struct Attributes<'a> {
    /// How many attributes and numbers there are.
    work: u64,
    id: Option<&'a str>,
    style: Option<&'a str>,
    /// What it is a copy of.
    link: Option<&'a str>,
}

/// Judges the numbers of an element, in one pass over its attributes.
fn judge_attributes<'a>(node: &Node<'a, '_>, name: &str) -> Result<Attributes<'a>, ImportError> {
    let mut told = Attributes::default();
    for attribute in node.attributes() {
        told.work += 1;
        let (own, value) = (attribute.name(), attribute.value());
        if GEOMETRY.contains(&own) {
            told.work += judge_numbers(value, own, name)?;
            continue;
        }
        let plain = attribute.namespace().is_none();
        match own {
            "id" if plain => told.id = Some(value),
            "href" if told.link.is_none() => told.link = Some(value),
            "style" => {
                if plain {
                    told.style = Some(value);
                }
                if value.contains("font-size") {
                    // Sizes in em would be multiplied by it.
                    judge_numbers(value, "style", name)?;
                }
            }
            _ => {}
        }
    }
    Ok(told)
}

/// Judges every number in a text and gives how many there are.
fn judge_numbers(text: &str, attribute: &str, element: &str) -> Result<u64, ImportError> {
    let bytes = text.as_bytes();
    let (mut count, mut i) = (0, 0);
    while let Some(byte) = bytes.get(i) {
        if !(byte.is_ascii_digit() || *byte == b'.') {
            i += 1;
            continue;
        }
        count += 1;
        let from = i;
        let mut digits = 0;
        let digits_end = |mut at: usize| {
            while bytes.get(at).is_some_and(u8::is_ascii_digit) {
                at += 1;
            }
            at
        };
        i = digits_end(i);
        digits += i - from;
        if bytes.get(i) == Some(&b'.') {
            i = digits_end(i + 1);
        }
        let mut to = i;
        if matches!(bytes.get(i), Some(b'e' | b'E')) {
            let sign = usize::from(matches!(bytes.get(i + 1), Some(b'+' | b'-')));
            let end = digits_end(i + 1 + sign);
            // `em` and `ex` are units, not exponents.
            if end > i + 1 + sign {
                i = end;
                to = end;
                digits = usize::MAX;
            }
        }
        // Seven digits and fewer are in bounds whatever they are.
        if digits > 7 {
            let number = text.get(from..to).unwrap_or_default();
            let value: f64 = number.parse().unwrap_or(f64::INFINITY);
            if value > LARGEST_NUMBER {
                return Err(ImportError::BadNumber {
                    place: format!("attribute {attribute} of <{}>", shortened(element)),
                    number: shortened(number),
                });
            }
        }
    }
    Ok(count)
}

/// The first letters of a text.
fn shortened(text: &str) -> String {
    text.chars().take(24).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn judged(text: &str) -> Result<Census, ImportError> {
        judge(&Document::parse(text).expect("it is XML"))
    }

    #[test]
    fn numbers_are_read_as_paths_write_them() {
        for (text, count) in [
            ("M0 0L1,1", 4),
            ("M-.5.5-3e2+4", 4),
            ("1e-30 1.5E+3 12em 3ex", 4),
            ("0000000000012", 1),
            ("", 0),
            ("Mz", 0),
        ] {
            assert_eq!(judge_numbers(text, "d", "path"), Ok(count), "{text}");
        }
        for text in [
            "1e8",
            "123456789",
            "M0 0A1e300 1 0 0 0 1 1",
            "9e999",
            "100000000000000000000",
        ] {
            assert!(judge_numbers(text, "d", "path").is_err(), "{text}");
        }
    }

    #[test]
    fn copies_count_as_written_out() {
        let levels = |n: usize, each: usize| {
            let mut text = String::from("<svg><g id='a0'><path d='M0 0L1 1'/></g>");
            for level in 1..=n {
                let copies = format!("<use href='#a{}'/>", level - 1).repeat(each);
                text.push_str(&format!("<g id='a{level}'>{copies}</g>"));
            }
            text + "</svg>"
        };
        assert!(judged(&levels(4, 2)).is_ok());
        assert_eq!(
            judged(&levels(10, 10)).unwrap_err(),
            ImportError::TooManyPieces
        );
        let circle = "<svg><g id='a'><use href='#b'/></g><g id='b'><use href='#a'/></g></svg>";
        assert!(judged(circle).is_err());
        let own = "<svg><g id='a'><use href='#a'/></g></svg>";
        assert!(judged(own).is_err());
    }

    #[test]
    fn nesting_ends_somewhere() {
        let nested = |n: usize| format!("<svg>{}{}</svg>", "<g>".repeat(n), "</g>".repeat(n));
        assert!(judged(&nested(100)).is_ok());
        assert!(
            judged(&nested(200))
                .unwrap_err()
                .to_string()
                .contains("nested")
        );
    }

    #[test]
    fn what_only_paints_is_counted() {
        let some =
            judged("<svg><pattern id='p'><path d='M0 0'/></pattern><text>a</text></svg>").unwrap();
        assert_eq!((some.painting, some.words), (2, 1));
        assert!(
            some.style_sheet()
                .is_some_and(|sheet| sheet.contains("stroke:#000"))
        );
        assert_eq!(judged("<svg/>").unwrap().style_sheet(), None);
        let many = format!("<svg>{}</svg>", "<clipPath/>".repeat(3000));
        assert!(judged(&many).unwrap_err().to_string().contains("clips"));
    }
}
