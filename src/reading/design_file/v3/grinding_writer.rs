//! From what is ground off a knife to its record.

use super::super::tree::Value;
use super::super::v2::words::{
    FACES, FORMS, FormKind, LANDMARKS, RISES, RiseKind, SIDES, SidesKind, word_for,
};
use super::writer::{list, number, outline, record, text, whole};
use crate::knife::{
    Cut, CutForm, Fuller, Grind, Grinding, PlungeLine, Rise, Run, Sides, Taper, ThicknessStation,
};

pub(super) fn grinding(own: &Grinding) -> Value<'_> {
    let mut fields = Vec::new();
    if let Some(own) = &own.taper {
        fields.push(("taper", taper(own)));
    }
    fields.extend([
        ("grinds", list(&own.grinds, grind)),
        ("fullers", list(&own.fullers, fuller)),
        ("tolerance_mm", number(own.tolerance_mm)),
    ]);
    record(fields)
}

fn taper(own: &Taper) -> Value<'_> {
    record(vec![
        ("faces", text(word_for(FACES, own.faces))),
        ("stations", list(&own.stations, station)),
    ])
}

fn station(own: &ThicknessStation) -> Value<'_> {
    record(vec![
        ("x_mm", number(own.x_mm)),
        ("thickness_mm", number(own.thickness_mm)),
    ])
}

fn grind(own: &Grind) -> Value<'_> {
    let mut fields = vec![
        ("id", whole(own.id)),
        ("name", text(&own.name)),
        ("run", run(own.run)),
        ("sides", sides(&own.sides)),
        ("edge_mm", number(own.edge_mm)),
        ("edge_offset_mm", number(own.edge_offset_mm)),
    ];
    fields.extend(own.plunge_from.map(|line| ("plunge_from", plunge(line))));
    fields.extend(own.plunge_to.map(|line| ("plunge_to", plunge(line))));
    fields.push(("after_hardening", Value::Truth(own.after_hardening)));
    record(fields)
}

fn run(own: Run) -> Value<'static> {
    record(vec![
        ("from", text(word_for(LANDMARKS, own.from))),
        ("to", text(word_for(LANDMARKS, own.to))),
    ])
}

fn plunge(own: PlungeLine) -> Value<'static> {
    record(vec![
        ("angle_rad", number(own.angle_rad)),
        ("wheel_radius_mm", number(own.wheel_radius_mm)),
    ])
}

fn sides(own: &Sides) -> Value<'_> {
    let kind = |kind| ("kind", text(word_for(SIDES, kind)));
    record(match own {
        Sides::Both(own) => vec![kind(SidesKind::Both), ("cut", cut(own))],
        Sides::Right(own) => vec![kind(SidesKind::Right), ("cut", cut(own))],
        Sides::Left(own) => vec![kind(SidesKind::Left), ("cut", cut(own))],
        Sides::Each { right, left } => vec![
            kind(SidesKind::Each),
            ("right", cut(right)),
            ("left", cut(left)),
        ],
    })
}

fn cut(own: &Cut) -> Value<'_> {
    record(vec![("form", form(own.form)), ("rise", rise(&own.rise))])
}

fn form(own: CutForm) -> Value<'static> {
    let kind = |kind| ("kind", text(word_for(FORMS, kind)));
    record(match own {
        CutForm::Flat => vec![kind(FormKind::Flat)],
        CutForm::Hollow { wheel_radius_mm } => vec![
            kind(FormKind::Hollow),
            ("wheel_radius_mm", number(wheel_radius_mm)),
        ],
        CutForm::Convex { radius_mm } => {
            vec![kind(FormKind::Convex), ("radius_mm", number(radius_mm))]
        }
    })
}

fn rise(own: &Rise) -> Value<'_> {
    let (kind, name, stations) = match own {
        Rise::Height(stations) => (RiseKind::Height, "height_mm", stations),
        Rise::Angle(stations) => (RiseKind::Angle, "angle_rad", stations),
    };
    let stations = list(stations, |own| {
        record(vec![("at", number(own.at)), (name, number(own.value))])
    });
    record(vec![
        ("kind", text(word_for(RISES, kind))),
        ("stations", stations),
    ])
}

fn fuller(own: &Fuller) -> Value<'_> {
    record(vec![
        ("id", whole(own.id)),
        ("name", text(&own.name)),
        ("faces", text(word_for(FACES, own.faces))),
        ("nose_radius_mm", number(own.nose_radius_mm)),
        ("depth_mm", number(own.depth_mm)),
        ("path", outline(&own.path)),
    ])
}
