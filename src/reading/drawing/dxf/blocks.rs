//! Blocks, and the drawing they are laid out in.
//!
//! What a drawing comes to is counted first, block by block, and only then laid out: a hundred bytes can ask for billions of copies.

use std::collections::{BTreeMap, HashMap, HashSet};

use kurbo::{Affine, Point};

use super::super::error::ImportError;
use super::super::strokes::{Role, Stroke, Strokes, push_mapped};
use super::super::{LeftOut, MOST_PIECES};
use super::entities::{self, Entity, Insert};
use super::pairs::Pairs;
use super::record::Record;

/// Deepest nesting of blocks; drawings go three or four deep.
const DEEPEST: usize = 24;
/// Most blocks that are laid out, empty ones counted.
const MOST_LAID: u64 = 200_000;
/// Most entities of all kinds; a crowded drawing has some hundred thousand.
const MOST_ENTITIES: usize = 2_000_000;
/// Most kinds of things named in what was left out.
const MOST_KINDS: usize = 40;

/// Lines and inserts of a block, or of the drawing itself.
#[derive(Debug, Default)]
struct Content<'a> {
    base: Point,
    strokes: Strokes,
    /// Layer of each stroke, for those that take it from their insert.
    on_zero: Vec<bool>,
    inserts: Vec<Insert<'a>>,
}

/// What was left out, by kind and reason.
type LeftOutCounts<'a> = BTreeMap<(&'a [u8], &'static str), (usize, Option<Point>)>;

/// Everything that was read.
#[derive(Debug, Default)]
pub(super) struct Layout<'a> {
    blocks: HashMap<&'a [u8], Content<'a>>,
    drawing: Content<'a>,
    /// Layers that are off or frozen.
    unseen: HashSet<&'a [u8]>,
    left_out: LeftOutCounts<'a>,
    /// Entities met so far.
    entities: usize,
    /// Pieces read so far, blocks and drawing together.
    pieces: usize,
}

impl<'a> Layout<'a> {
    /// Reads the tables for layers that are off or frozen.
    pub(super) fn read_tables(&mut self, pairs: &mut Pairs<'a>) -> Result<(), ImportError> {
        let mut layer: Option<(&'a [u8], bool)> = None;
        while let Some(pair) = pairs.next()? {
            match (pair.code, pair.value) {
                (0, value) => {
                    if let Some((name, true)) = layer.take() {
                        self.unseen.insert(name);
                    }
                    layer = (value == b"LAYER").then_some((b"", false));
                    if value == b"ENDSEC" {
                        break;
                    }
                }
                (2, name) => {
                    if let Some(layer) = &mut layer {
                        layer.0 = name;
                    }
                }
                (62 | 70, _) => {
                    if let Some(layer) = &mut layer {
                        let value = pairs.whole(&pair)?;
                        layer.1 |= if pair.code == 62 {
                            value < 0
                        } else {
                            value & 1 == 1
                        };
                    }
                }
                _ => {}
            }
        }
        Ok(())
    }

    /// Reads the blocks.
    pub(super) fn read_blocks(&mut self, pairs: &mut Pairs<'a>) -> Result<(), ImportError> {
        while let Some(pair) = pairs.next()? {
            match (pair.code, pair.value) {
                (0, b"ENDSEC") => break,
                (0, b"BLOCK") => {
                    let head = Record::read(pair.value, pairs)?;
                    let mut content = Content {
                        base: head.point(10).unwrap_or_default(),
                        ..Content::default()
                    };
                    self.read_into(&mut content, pairs, b"ENDBLK")?;
                    // Model and paper space are blocks, too; nobody inserts them.
                    self.blocks.insert(head.name, content);
                }
                _ => {}
            }
        }
        Ok(())
    }

    /// Reads the drawing.
    pub(super) fn read_entities(&mut self, pairs: &mut Pairs<'a>) -> Result<(), ImportError> {
        let mut drawing = std::mem::take(&mut self.drawing);
        self.read_into(&mut drawing, pairs, b"ENDSEC")?;
        self.drawing = drawing;
        Ok(())
    }

    fn read_into(
        &mut self,
        content: &mut Content<'a>,
        pairs: &mut Pairs<'a>,
        end: &[u8],
    ) -> Result<(), ImportError> {
        while let Some(pair) = pairs.next()? {
            if pair.code != 0 {
                continue;
            }
            if pair.value == end {
                if end == b"ENDBLK" {
                    Record::read(pair.value, pairs)?;
                }
                return Ok(());
            }
            if matches!(pair.value, b"ENDSEC" | b"EOF") {
                pairs.put_back(pair);
                return Ok(());
            }
            self.entities += 1;
            if self.entities > MOST_ENTITIES {
                return Err(ImportError::TooManyPieces);
            }
            let record = Record::read(pair.value, pairs)?;
            let (pieces, strokes) = (content.strokes.pieces.len(), content.strokes.all.len());
            let entity = entities::read(&record, pairs, &mut content.strokes)?;
            let unseen = record.hidden || self.unseen.contains(record.layer);
            let aside = match entity {
                _ if record.on_paper => Some("it lies on the paper around the drawing"),
                Entity::LeftOut(reason) => Some(reason),
                _ if unseen => Some("it is hidden, or its layer is off"),
                Entity::Insert(insert) => {
                    content.inserts.push(insert);
                    None
                }
                Entity::Drawn => None,
            };
            if let Some(reason) = aside {
                content.strokes.pieces.truncate(pieces);
                content.strokes.all.truncate(strokes);
                self.leave(&record, reason);
            }
            content
                .on_zero
                .resize(content.strokes.all.len(), record.layer == b"0");
            self.pieces += content.strokes.pieces.len() - pieces;
            if self.pieces > MOST_PIECES || content.inserts.len() > MOST_PIECES {
                return Err(ImportError::TooManyPieces);
            }
        }
        Ok(())
    }

    fn leave(&mut self, record: &Record<'a>, reason: &'static str) {
        // Ends of sequences and the like are no things of their own.
        if matches!(
            record.kind,
            b"SEQEND" | b"ENDBLK" | b"VERTEX" | b"ATTRIB" | b"VIEWPORT"
        ) {
            return;
        }
        let key = (record.kind, reason);
        let room = self.left_out.len() < MOST_KINDS || self.left_out.contains_key(&key);
        let key = if room { key } else { (&b""[..], reason) };
        let entry = self.left_out.entry(key).or_insert((0, record.point(10)));
        entry.0 += 1;
    }

    /// Everything where it lies, blocks laid out.
    pub(super) fn laid_out(self) -> Result<(Strokes, Vec<LeftOut>), ImportError> {
        let mut sums = Sums {
            blocks: &self.blocks,
            known: HashMap::new(),
        };
        let total = sums.of(&self.drawing, 0)?;
        let most = u64::try_from(MOST_PIECES).unwrap_or(u64::MAX);
        if total.pieces > most || total.blocks > MOST_LAID {
            return Err(ImportError::TooManyPieces);
        }
        let mut strokes = Strokes::default();
        let mut waiting = vec![(&self.drawing, Affine::IDENTITY, Role::Plain)];
        let mut unknown = 0;
        while let Some((content, map, role)) = waiting.pop() {
            lay(content, &map, role, &mut strokes);
            // An arc that is stretched comes as several cubics, which were not counted.
            if strokes.pieces.len() > MOST_PIECES {
                return Err(ImportError::TooManyPieces);
            }
            for insert in content.inserts.iter().rev() {
                let Some(block) = self.blocks.get(insert.block) else {
                    unknown += 1;
                    continue;
                };
                if sums
                    .known
                    .get(insert.block)
                    .is_none_or(|sum| sum.pieces == 0)
                {
                    continue;
                }
                let own = Role::named(std::str::from_utf8(insert.layer).unwrap_or_default());
                let role = if own == Role::Plain { role } else { own };
                for copy in copies(insert, block.base) {
                    waiting.push((block, map * copy, role));
                }
            }
        }
        let mut left_out: Vec<LeftOut> = self
            .left_out
            .into_iter()
            .map(|((kind, reason), (count, place))| {
                let what = named(kind);
                let mut one = LeftOut::counted(what, reason.to_owned(), count);
                one.place = place;
                one
            })
            .collect();
        if unknown > 0 {
            left_out.push(LeftOut::counted(
                "INSERT".to_owned(),
                "its block is missing in the file".to_owned(),
                unknown,
            ));
        }
        Ok((strokes, left_out))
    }
}

/// A kind of entity as it is told.
fn named(kind: &[u8]) -> String {
    let name: String = String::from_utf8_lossy(kind)
        .chars()
        .filter(|c| c.is_ascii_alphanumeric() || *c == '_')
        .take(24)
        .collect();
    if name.is_empty() {
        "others".to_owned()
    } else {
        name
    }
}

/// The maps of all copies of an insert.
fn copies<'i>(insert: &'i Insert<'_>, base: Point) -> impl Iterator<Item = Affine> + 'i {
    let (columns, rows) = insert.counts;
    let map = insert.map * Affine::translate(-base.to_vec2());
    (0..rows).flat_map(move |row| {
        (0..columns).map(move |column| {
            #[expect(clippy::cast_precision_loss, reason = "a few hundred thousand at most")]
            let (column, row) = (column as f64, row as f64);
            Affine::translate(insert.steps.0 * column + insert.steps.1 * row) * map
        })
    })
}

fn lay(content: &Content<'_>, map: &Affine, role: Role, out: &mut Strokes) {
    for (stroke, on_zero) in content.strokes.all.iter().zip(&content.on_zero) {
        let from = out.pieces.len();
        for piece in content.strokes.of(stroke) {
            push_mapped(piece, map, &mut out.pieces);
        }
        out.all.push(Stroke {
            from,
            to: out.pieces.len(),
            closed: stroke.closed,
            // Layer 0 of a block stands for the layer it is inserted on.
            role: if *on_zero { role } else { stroke.role },
        });
    }
}

/// What a block comes to when it is laid out.
#[derive(Clone, Copy, Debug, Default)]
struct Sum {
    pieces: u64,
    blocks: u64,
}

/// Adds up blocks, each once.
struct Sums<'l, 'a> {
    blocks: &'l HashMap<&'a [u8], Content<'a>>,
    known: HashMap<&'a [u8], Sum>,
}

impl<'a> Sums<'_, 'a> {
    fn of(&mut self, content: &Content<'a>, depth: usize) -> Result<Sum, ImportError> {
        if depth > DEEPEST {
            return Err(ImportError::Dxf {
                line: 1,
                reason: format!(
                    "blocks are nested more than {DEEPEST} deep, or hold themselves: take the blocks apart in the drawing"
                ),
            });
        }
        let mut sum = Sum {
            pieces: u64::try_from(content.strokes.pieces.len()).unwrap_or(u64::MAX),
            blocks: 0,
        };
        for insert in &content.inserts {
            let Some(block) = self.blocks.get(insert.block) else {
                continue;
            };
            let one = match self.known.get(insert.block) {
                Some(known) => *known,
                None => {
                    let one = self.of(block, depth + 1)?;
                    self.known.insert(insert.block, one);
                    one
                }
            };
            // An empty block is not laid out, however often it is asked for.
            if one.pieces == 0 {
                continue;
            }
            let times = insert.counts.0.saturating_mul(insert.counts.1);
            sum.pieces = sum.pieces.saturating_add(times.saturating_mul(one.pieces));
            sum.blocks = sum
                .blocks
                .saturating_add(times.saturating_mul(one.blocks.saturating_add(1)));
        }
        Ok(sum)
    }
}
