//! A whole design made larger or smaller, the holes and the bar left as they are.

use super::{Handle, Knife, Node, Rise, RowPath, Sides, Tang};
use crate::geometry::Point;

impl Knife {
    /// The knife with everything that is drawn or ground `factor` times as large, seen from the shoulder line's zero. Holes, slots and windows keep their
    /// sizes and move along; those that are clamped stay where they are. The bar's thickness, the pins, the guard, the figures of the tools and a picture
    /// under the drawing stay.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        let mut knife = self.clone();
        let place = |p: Point| (p.to_vec2() * factor).to_point();
        nodes(&mut knife.outline.nodes, factor);
        for cut in &mut knife.cut_outs {
            if !self.clamped.contains(&cut.id) {
                let center = cut.shape.center();
                cut.shape = cut.shape.shifted(place(center) - center);
            }
        }
        for row in &mut knife.rows {
            if self.clamped.contains(&row.id) {
                continue;
            }
            row.path = match row.path {
                RowPath::Line { from, to } => RowPath::Line {
                    from: place(from),
                    to: place(to),
                },
                RowPath::TangMiddle { from_x, to_x } => RowPath::TangMiddle {
                    from_x: from_x * factor,
                    to_x: to_x * factor,
                },
            };
        }
        for station in knife
            .grinding
            .taper
            .iter_mut()
            .flat_map(|t| &mut t.stations)
        {
            station.x_mm *= factor;
        }
        for grind in &mut knife.grinding.grinds {
            sides(&mut grind.sides, factor);
        }
        for fuller in &mut knife.grinding.fullers {
            nodes(&mut fuller.path.nodes, factor);
        }
        if let Some(guard) = &mut knife.guard {
            guard.middle_y_mm *= factor;
        }
        if let Some(own) = &mut knife.handle {
            handle(own, factor);
        }
        for at in knife.flaws.iter_mut().flat_map(|flaw| &mut flaw.line) {
            *at = place(*at);
        }
        if let Some(at) = knife.engraving.as_mut().and_then(|name| name.at.as_mut()) {
            *at = place(*at);
        }
        tang(&mut knife.tang, factor);
        knife
    }
}

fn nodes(nodes: &mut [Node], factor: f64) {
    for node in nodes {
        node.at = (node.at.to_vec2() * factor).to_point();
        node.handle_in = node.handle_in.map(|h| h * factor);
        node.handle_out = node.handle_out.map(|h| h * factor);
    }
}

/// A bevel given by its height rises as the blade does; one given by its angle keeps it.
fn sides(sides: &mut Sides, factor: f64) {
    let rises = match sides {
        Sides::Both(cut) | Sides::Right(cut) | Sides::Left(cut) => [Some(&mut cut.rise), None],
        Sides::Each { right, left } => [Some(&mut right.rise), Some(&mut left.rise)],
    };
    for rise in rises.into_iter().flatten() {
        if let Rise::Height(stations) = rise {
            for station in stations {
                station.value *= factor;
            }
        }
    }
}

fn handle(handle: &mut Handle, factor: f64) {
    if let Some(outline) = &mut handle.outline {
        nodes(&mut outline.nodes, factor);
    }
    for station in &mut handle.stations {
        station.x_mm *= factor;
    }
    for part in &mut handle.parts {
        part.from_x_mm *= factor;
    }
}

fn tang(tang: &mut Tang, factor: f64) {
    match tang {
        Tang::Full(full) => {
            for mm in [
                &mut full.length_mm,
                &mut full.butt_height_mm,
                &mut full.belly_mm,
                &mut full.drop_mm,
                &mut full.finger_mm,
                &mut full.hook_mm,
            ] {
                *mm *= factor;
            }
        }
        Tang::Hidden(narrow) | Tang::Partial(narrow) => {
            for mm in [
                &mut narrow.length_mm,
                &mut narrow.shoulder_width_mm,
                &mut narrow.end_width_mm,
                &mut narrow.shoulder_radius_mm,
            ] {
                *mm *= factor;
            }
        }
    }
}
