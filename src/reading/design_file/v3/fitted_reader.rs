//! From the records of what is fitted to a knife, and of what happened to it, to the model.

use super::super::record::Record;
use super::super::v1::reader::{Fitted, outline};
use super::super::v2::words::FACES;
use super::words::{FIXINGS, FLAWS, FixingKind, HOLES, HoleKind, PARTS, STAGES};
use crate::knife::{
    Engraving, Fixing, Flaw, Glue, Handle, HandlePart, HandleStation, Liner, MOST_FLAW_POINTS,
    MOST_FLAWS, MOST_NODES, MOST_PARTS, MOST_STATIONS, MOST_WEIGH_INS, TangHole, WeighIn,
};

pub(super) fn fitted(knife: &mut Record<'_>) -> Option<Fitted> {
    let handle = knife.optional_inner("handle", handle);
    let flaws = knife.list("flaws", MOST_FLAWS, flaw);
    let weigh_ins = knife.list("weigh_ins", MOST_WEIGH_INS, weigh_in);
    let heat_words = knife.optional_text("heat_words");
    let engraving = knife.optional_inner("engraving", engraving);
    let picture = knife.optional_inner("picture", super::laid_picture::read);
    let forging = knife.optional_inner("forging", super::forging::read);
    let clamped = knife.optional_list("clamped", 2 * MOST_NODES, |mut from| {
        let id = from.whole("id");
        from.close();
        id
    });
    Some(Fitted {
        handle: handle?,
        clamped: clamped?.into_iter().collect(),
        engraving: engraving?,
        picture: picture?,
        flaws: flaws?,
        weigh_ins: weigh_ins?,
        heat_words: heat_words?,
        forging: forging?,
    })
}

fn engraving(mut from: Record<'_>) -> Option<Engraving> {
    let words = from.text("words");
    let height_mm = from.number("height_mm");
    let at = from.optional_vector("at");
    from.close();
    Some(Engraving {
        words: words?,
        height_mm: height_mm?,
        at: at?.map(crate::geometry::Vec2::to_point),
    })
}

fn handle(mut from: Record<'_>) -> Option<Handle> {
    let fixing = from.inner("fixing", fixing);
    let own = from.optional_inner("outline", outline);
    let stations = from.list("stations", MOST_STATIONS, |mut from| {
        let x_mm = from.number("x_mm");
        let thickness_mm = from.number("thickness_mm");
        from.close();
        Some(HandleStation {
            x_mm: x_mm?,
            thickness_mm: thickness_mm?,
        })
    });
    let rounding = from.number("rounding");
    let parts = from.list("parts", MOST_PARTS, part);
    let glue = from.optional_inner("glue", |mut from| {
        let material = from.text("material");
        let gap_mm = from.number("gap_mm");
        from.close();
        Some(Glue {
            material: material?,
            gap_mm: gap_mm?,
        })
    });
    from.close();
    Some(Handle {
        fixing: fixing?,
        outline: own?,
        stations: stations?,
        rounding: rounding?,
        parts: parts?,
        glue: glue?,
    })
}

fn fixing(mut from: Record<'_>) -> Option<Fixing> {
    // Without a kind nobody knows which fields belong here, so the record is not closed then.
    let kind = from.word("kind", FIXINGS)?;
    let fixing = match kind {
        FixingKind::Scales => from
            .optional_inner("liner", liner)
            .map(|liner| Fixing::Scales { liner }),
        FixingKind::Block => from.inner("hole", hole).map(|hole| Fixing::Block { hole }),
    };
    from.close();
    fixing
}

fn liner(mut from: Record<'_>) -> Option<Liner> {
    let material = from.text("material");
    let thickness_mm = from.number("thickness_mm");
    from.close();
    Some(Liner {
        material: material?,
        thickness_mm: thickness_mm?,
    })
}

fn hole(mut from: Record<'_>) -> Option<TangHole> {
    let kind = from.word("kind", HOLES)?;
    let hole = match kind {
        HoleKind::BurntIn => Some(TangHole::BurntIn),
        HoleKind::Drilled => {
            let width_mm = from.number("width_mm");
            let height_mm = from.number("height_mm");
            let depth_mm = from.number("depth_mm");
            match (width_mm, height_mm, depth_mm) {
                (Some(width_mm), Some(height_mm), Some(depth_mm)) => Some(TangHole::Drilled {
                    width_mm,
                    height_mm,
                    depth_mm,
                }),
                _ => None,
            }
        }
    };
    from.close();
    hole
}

fn part(mut from: Record<'_>) -> Option<HandlePart> {
    let id = from.whole("id");
    let kind = from.word("kind", PARTS);
    let material = from.text("material");
    let from_x_mm = from.number("from_x_mm");
    from.close();
    Some(HandlePart {
        id: id?,
        kind: kind?,
        material: material?,
        from_x_mm: from_x_mm?,
    })
}

fn flaw(mut from: Record<'_>) -> Option<Flaw> {
    let id = from.whole("id");
    let kind = from.word("kind", FLAWS);
    let line = from.list("line", MOST_FLAW_POINTS, |mut from| {
        let at = from.point("at");
        from.close();
        at
    });
    let reach_mm = from.number("reach_mm");
    let faces = from.word("faces", FACES);
    let depth_mm = from.optional_number("depth_mm");
    from.close();
    Some(Flaw {
        id: id?,
        kind: kind?,
        line: line?,
        reach_mm: reach_mm?,
        faces: faces?,
        depth_mm: depth_mm?,
    })
}

fn weigh_in(mut from: Record<'_>) -> Option<WeighIn> {
    let id = from.whole("id");
    let stage = from.word("stage", STAGES);
    let date = from.text("date");
    let mass_g = from.number("mass_g");
    let balance_mm = from.optional_number("balance_mm");
    from.close();
    Some(WeighIn {
        id: id?,
        stage: stage?,
        date: date?,
        mass_g: mass_g?,
        balance_mm: balance_mm?,
    })
}
