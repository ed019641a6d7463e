//! `table`: the knives of a set as a table in any order, and the bar they take.

use clap::{Args, ValueEnum};
use std::path::PathBuf;

use super::complaint::{Complaint, about, one_line};
use super::counts::CountArguments;
use super::table::{Side, aligned};
use super::{Answer, open};
use crate::knife::Knife;
use crate::sheet::rack_csv;
use crate::units::{
    Length, LengthFormat, MISSING, Mass, MassUnit, decimals_earned, print_mass, print_number,
};
use crate::weighing::{
    BarNeed, RackColumn, RackMeasure, RackRow, WeighUp, bars_needed, sort_rack, weigh,
};

#[derive(Debug, Args)]
pub(super) struct TableArguments {
    /// Design file
    pub file: PathBuf,
    /// Order by this column; else as in the rack
    #[arg(long, value_name = "COLUMN", value_enum)]
    pub by: Option<ColumnArgument>,
    /// The largest first
    #[arg(long, requires = "by")]
    pub falling: bool,
    #[command(flatten)]
    pub counts: CountArguments,
    /// Print comma-separated values
    #[arg(long)]
    pub csv: bool,
}

/// A column to order by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum ColumnArgument {
    /// The knife's name
    Name,
    /// The steel
    Steel,
    /// Thickness of the bar
    Thick,
    /// From butt to tip
    Overall,
    /// From the shoulder line to the tip
    Blade,
    /// Greatest height of the blade
    Height,
    /// Mass of the bar it is cut from
    Bar,
    /// Mass of the ground steel
    Ground,
    /// Mass of the finished knife
    Finished,
    /// Balance of the finished knife
    Balance,
    /// How hard it is to swing
    Swing,
}

impl ColumnArgument {
    fn column(self) -> RackColumn {
        match self {
            Self::Name => RackColumn::Name,
            Self::Steel => RackColumn::Steel,
            Self::Thick => RackColumn::Thickness,
            Self::Overall => RackColumn::Overall,
            Self::Blade => RackColumn::Blade,
            Self::Height => RackColumn::Height,
            Self::Bar => RackColumn::Bar,
            Self::Ground => RackColumn::Ground,
            Self::Finished => RackColumn::Finished,
            Self::Balance => RackColumn::Balance,
            Self::Swing => RackColumn::Swing,
        }
    }
}

pub(super) fn run(asked: &TableArguments) -> Result<Answer, Complaint> {
    let set = open::design(&asked.file)?;
    asked
        .counts
        .judge(set.knives.iter().map(|k| k.name.as_str()))?;
    let ups: Vec<WeighUp> = set.knives.iter().map(|knife| weigh(knife, &set)).collect();
    let weighed = || set.knives.iter().map(AsRef::as_ref).zip(&ups);
    let mut rows: Vec<RackRow> = weighed()
        .map(|(knife, up)| RackRow::of(knife, &set, up))
        .collect();
    if let Some(by) = asked.by {
        sort_rack(&mut rows, by.column(), asked.falling);
    }
    let count = |knife: &Knife| u32::try_from(asked.counts.of(&knife.name)).unwrap_or(u32::MAX);
    let (bars, left_out) = bars_needed(weighed(), &set, count);
    let text = if asked.csv {
        rack_csv(&rows, &bars)
    } else {
        told(&rows, &bars)
    };
    let mut complaints: Vec<String> = Vec::new();
    for (knife, up) in weighed() {
        let name = one_line(&knife.name);
        let missing = up.missing.iter();
        complaints.extend(missing.map(|why| about(&asked.file, &format!("{name}: {why}"))));
    }
    complaints.extend(left_out.iter().map(|name| {
        let name = one_line(name);
        about(
            &asked.file,
            &format!("{name}: the bar it needs can't be told"),
        )
    }));
    Ok(Answer {
        text,
        complaints,
        ..Answer::default()
    })
}

fn told(rows: &[RackRow], bars: &[BarNeed]) -> String {
    let head = RackColumn::ALL.map(|column| column.name().to_owned());
    let mut cells = vec![head.to_vec()];
    cells.extend(
        rows.iter()
            .map(|row| RackColumn::ALL.map(|c| cell(row, c)).to_vec()),
    );
    let sides = RackColumn::ALL.map(|column| match column.measure() {
        RackMeasure::Words => Side::Left,
        _ => Side::Right,
    });
    let mut text = aligned(&cells, &sides, "");
    if bars.is_empty() {
        return text;
    }
    text.push_str("\nbar needed, straight and end to end\n");
    let lengths = LengthFormat::default();
    let print = |mm: f64| lengths.print(Length::mm(mm));
    let cells: Vec<Vec<String>> = bars
        .iter()
        .map(|bar| {
            vec![
                print(bar.length_mm),
                format!("of {} × {}", print(bar.width_mm), print(bar.thickness_mm)),
                bar.mass_g.map_or(MISSING.to_owned(), |g| {
                    print_mass(Mass::g(g), MassUnit::Gram, 0)
                }),
                format!("{} {}", bar.blanks, bar.work.name()),
                one_line(&bar.material),
            ]
        })
        .collect();
    let sides = [Side::Right, Side::Left, Side::Right, Side::Left, Side::Left];
    text.push_str(&aligned(&cells, &sides, "  "));
    text
}

fn cell(row: &RackRow, column: RackColumn) -> String {
    let lengths = LengthFormat::default();
    let number = row.number(column);
    let Some(value) = number else {
        return match column.measure() {
            RackMeasure::Words => one_line(row.words(column)),
            _ => MISSING.to_owned(),
        };
    };
    match column.measure() {
        RackMeasure::Words => String::new(),
        RackMeasure::Length => lengths.print(Length::mm(value)),
        RackMeasure::Place => lengths.print_signed(Length::mm(value)),
        RackMeasure::Mass => {
            let band = row.finished_band_g.zip(row.finished_g);
            // Every mass of a knife is off by about the share its finished mass is.
            let share = band.map_or(0.0, |(band, g)| band.half_width() / g);
            mass(Some(value), share)
        }
        RackMeasure::Swing => format!("{} kg·cm²", print_number(value, 1)),
    }
}

fn mass(g: Option<f64>, share: f64) -> String {
    let Some(g) = g else {
        return MISSING.to_owned();
    };
    print_mass(Mass::g(g), MassUnit::Gram, decimals_earned(g * share))
}
