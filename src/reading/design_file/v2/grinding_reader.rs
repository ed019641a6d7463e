//! From the record of what is ground off a knife to the model.

use super::super::record::Record;
use super::super::v1::reader::outline;
use super::words::{FACES, FORMS, FormKind, LANDMARKS, RISES, RiseKind, SIDES, SidesKind};
use crate::knife::{
    Cut, CutForm, Fuller, Grind, Grinding, MOST_FULLERS, MOST_GRINDS, MOST_STATIONS, PlungeLine,
    Rise, RiseStation, Run, Sides, Taper, ThicknessStation,
};

pub(super) fn grinding(mut from: Record<'_>) -> Option<Grinding> {
    let taper = from.optional_inner("taper", taper);
    let grinds = from.list("grinds", MOST_GRINDS, grind);
    let fullers = from.list("fullers", MOST_FULLERS, fuller);
    let tolerance_mm = from.number("tolerance_mm");
    from.close();
    Some(Grinding {
        taper: taper?,
        grinds: grinds?,
        fullers: fullers?,
        tolerance_mm: tolerance_mm?,
    })
}

fn taper(mut from: Record<'_>) -> Option<Taper> {
    let faces = from.word("faces", FACES);
    let stations = from.list("stations", MOST_STATIONS, |mut from| {
        let x_mm = from.number("x_mm");
        let thickness_mm = from.number("thickness_mm");
        from.close();
        Some(ThicknessStation {
            x_mm: x_mm?,
            thickness_mm: thickness_mm?,
        })
    });
    from.close();
    Some(Taper {
        stations: stations?,
        faces: faces?,
    })
}

fn grind(mut from: Record<'_>) -> Option<Grind> {
    let id = from.whole("id");
    let name = from.text("name");
    let run = from.inner("run", run);
    let sides = from.inner("sides", sides);
    let edge_mm = from.number("edge_mm");
    let edge_offset_mm = from.number("edge_offset_mm");
    let plunge_from = from.optional_inner("plunge_from", plunge);
    let plunge_to = from.optional_inner("plunge_to", plunge);
    let after_hardening = from.truth("after_hardening");
    from.close();
    Some(Grind {
        id: id?,
        name: name?,
        run: run?,
        sides: sides?,
        edge_mm: edge_mm?,
        edge_offset_mm: edge_offset_mm?,
        plunge_from: plunge_from?,
        plunge_to: plunge_to?,
        after_hardening: after_hardening?,
    })
}

fn run(mut own: Record<'_>) -> Option<Run> {
    let from = own.word("from", LANDMARKS);
    let to = own.word("to", LANDMARKS);
    own.close();
    Some(Run {
        from: from?,
        to: to?,
    })
}

fn plunge(mut from: Record<'_>) -> Option<PlungeLine> {
    let angle_rad = from.number("angle_rad");
    let wheel_radius_mm = from.number("wheel_radius_mm");
    from.close();
    Some(PlungeLine {
        angle_rad: angle_rad?,
        wheel_radius_mm: wheel_radius_mm?,
    })
}

fn sides(mut from: Record<'_>) -> Option<Sides> {
    // Without a kind nobody knows which fields belong here, so the record is not closed then.
    let kind = from.word("kind", SIDES)?;
    let sides = match kind {
        SidesKind::Both => from.inner("cut", cut).map(Sides::Both),
        SidesKind::Right => from.inner("cut", cut).map(Sides::Right),
        SidesKind::Left => from.inner("cut", cut).map(Sides::Left),
        SidesKind::Each => {
            let (right, left) = (from.inner("right", cut), from.inner("left", cut));
            right
                .zip(left)
                .map(|(right, left)| Sides::Each { right, left })
        }
    };
    from.close();
    sides
}

fn cut(mut from: Record<'_>) -> Option<Cut> {
    let form = from.inner("form", form);
    let rise = from.inner("rise", rise);
    from.close();
    Some(Cut {
        form: form?,
        rise: rise?,
    })
}

fn form(mut from: Record<'_>) -> Option<CutForm> {
    let kind = from.word("kind", FORMS)?;
    let form = match kind {
        FormKind::Flat => Some(CutForm::Flat),
        FormKind::Hollow => from
            .number("wheel_radius_mm")
            .map(|wheel_radius_mm| CutForm::Hollow { wheel_radius_mm }),
        FormKind::Convex => from
            .number("radius_mm")
            .map(|radius_mm| CutForm::Convex { radius_mm }),
    };
    from.close();
    form
}

fn rise(mut from: Record<'_>) -> Option<Rise> {
    let kind = from.word("kind", RISES)?;
    let value = match kind {
        RiseKind::Height => "height_mm",
        RiseKind::Angle => "angle_rad",
    };
    let stations = from.list("stations", MOST_STATIONS, |mut from| {
        let at = from.number("at");
        let value = from.number(value);
        from.close();
        Some(RiseStation {
            at: at?,
            value: value?,
        })
    });
    from.close();
    stations.map(match kind {
        RiseKind::Height => Rise::Height,
        RiseKind::Angle => Rise::Angle,
    })
}

fn fuller(mut from: Record<'_>) -> Option<Fuller> {
    let id = from.whole("id");
    let name = from.text("name");
    let faces = from.word("faces", FACES);
    let nose_radius_mm = from.number("nose_radius_mm");
    let depth_mm = from.number("depth_mm");
    let path = from.inner("path", outline);
    from.close();
    Some(Fuller {
        id: id?,
        name: name?,
        path: path?,
        faces: faces?,
        nose_radius_mm: nose_radius_mm?,
        depth_mm: depth_mm?,
    })
}
