//! The outline itself: open, crossing, empty or doubled pieces; and materials the set does not hold.

use super::bench::Bench;
use super::words::{Words, say};
use super::{Finding, Severity, Subject};
use crate::geometry::OutlineFault;
use crate::weighing::Missing;

pub(super) fn look(bench: &Bench<'_>, found: &mut Vec<Finding>) {
    for reason in &bench.up.missing {
        match reason {
            Missing::Outline { fault } => found.push(outline_finding(bench, fault)),
            Missing::Material { key } => found.push(
                Finding::new(
                    Severity::Warn,
                    "material-unknown",
                    say(format!("The set has no material '{key}'")),
                )
                .about(Subject::Knife)
                .why(say("without its density nothing made of it can be weighed"))
                .mend(say("Choose a material the set holds, or add this one")),
            ),
            _ => {}
        }
    }
}

pub(super) fn outline_finding(bench: &Bench<'_>, fault: &OutlineFault) -> Finding {
    let (code, what, piece, mend): (_, Words, _, _) = match fault {
        OutlineFault::TooFew => (
            "outline-empty",
            say("The outline holds no steel"),
            None,
            "Draw the outline, or start from a blade form",
        ),
        OutlineFault::NotFinite { piece } => (
            "outline-not-a-number",
            say("The outline has a coordinate that is not a number"),
            Some(piece),
            "Type the coordinate again, or remove the node",
        ),
        OutlineFault::Open { piece, gap_mm, .. } => (
            "outline-open",
            say("The outline is open by ").mm(*gap_mm),
            Some(piece),
            "Bring the two ends together",
        ),
        OutlineFault::ZeroPiece { piece, .. } => (
            "outline-zero-piece",
            say("Two nodes of the outline lie on one spot"),
            Some(piece),
            "Remove one of the two nodes",
        ),
        OutlineFault::Doubled { piece, .. } => (
            "outline-doubled",
            say("The outline runs twice over the same ground"),
            Some(piece),
            "Remove the nodes of one of the two runs",
        ),
        OutlineFault::Crossing { crossing } => (
            "outline-crossing",
            say("The outline crosses itself"),
            Some(&crossing.piece_a),
            "Move a node or a handle until the two sides are apart",
        ),
    };
    let node = piece.and_then(|piece| bench.knife.outline.nodes.get(*piece));
    Finding::new(Severity::Stop, code, what)
        .at(fault.place())
        .about(node.map_or(Subject::Knife, |node| Subject::Piece(node.id)))
        .why(say(
            "only an outline that closes and never meets itself can be weighed and cut",
        ))
        .mend(say(mend))
}

#[cfg(test)]
mod tests {
    use super::super::Thresholds;
    use super::super::testing::{codes, findings, plate, set_of};
    use super::*;
    use crate::geometry::Point;
    use crate::weighing::weigh;

    #[test]
    fn an_outline_that_crosses_is_a_stop_at_the_crossing() {
        let mut sound = plate(100.0, 30.0, 4.0);
        assert!(!codes(&sound).iter().any(|c| c.starts_with("outline")));
        // Swapping two corners of the rectangle makes a bow tie whose sides meet in its middle.
        sound.outline.nodes.swap(2, 3);
        let all = findings(&sound);
        assert_eq!(all[0].code, "outline-crossing");
        assert_eq!(all[0].severity, Severity::Stop);
        let at = all[0].place.unwrap();
        assert!(
            (at.x - 50.0).abs() < 1e-6 && (at.y - 15.0).abs() < 1e-6,
            "{at}"
        );
        assert!(matches!(all[0].about, Some(Subject::Piece(_))));
    }

    #[test]
    fn two_nodes_on_one_spot_are_found() {
        let mut knife = plate(100.0, 30.0, 4.0);
        let id = knife.take_id();
        let at = knife.outline.nodes[1].at;
        knife
            .outline
            .nodes
            .insert(2, crate::knife::Node::corner(id, at));
        assert!(codes(&knife).contains(&"outline-zero-piece"));
    }

    #[test]
    fn a_material_the_set_lacks_is_a_warning() {
        let mut knife = plate(100.0, 30.0, 4.0);
        assert!(!codes(&knife).contains(&"material-unknown"));
        "moon iron".clone_into(&mut knife.stock.material);
        assert!(codes(&knife).contains(&"material-unknown"));
    }

    fn told(fault: &OutlineFault) -> Finding {
        let knife = plate(100.0, 30.0, 4.0);
        let set = set_of(&knife);
        let (up, t) = (weigh(&knife, &set), Thresholds::default());
        outline_finding(&Bench::new(&knife, &set, &up, &t), fault)
    }

    /// The pieces of a knife always close; a drawing that is read may not.
    #[test]
    fn an_open_outline_is_told_with_its_gap_at_the_piece_after_it() {
        let at = Point::new(100.0, 30.0);
        let f = told(&OutlineFault::Open {
            piece: 2,
            gap_mm: 0.7,
            at,
        });
        assert_eq!((f.code, f.severity), ("outline-open", Severity::Stop));
        assert_eq!(f.what.to_string(), "The outline is open by 0.7 mm");
        assert_eq!(f.mend.to_string(), "Bring the two ends together");
        assert_eq!((f.place, f.about), (Some(at), Some(Subject::Piece(2))));
        // A piece that is not there is told of the knife.
        let f = told(&OutlineFault::Open {
            piece: 9,
            gap_mm: 0.7,
            at,
        });
        assert_eq!(f.about, Some(Subject::Knife));
    }

    #[test]
    fn a_doubled_piece_is_told_where_it_lies() {
        let at = Point::new(50.0, 0.0);
        let f = told(&OutlineFault::Doubled {
            piece: 0,
            twin: 3,
            at,
        });
        assert_eq!((f.code, f.severity), ("outline-doubled", Severity::Stop));
        assert_eq!((f.place, f.about), (Some(at), Some(Subject::Piece(0))));
        assert_eq!(
            f.mend.to_string(),
            "Remove the nodes of one of the two runs"
        );
    }
}
