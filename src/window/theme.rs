//! Colors and sizes: layout blue and paper. Every color of the window is here; every text keeps 4.5 : 1 against what it may stand on.

use egui::{Color32, CornerRadius, Margin, Stroke, Theme, Visuals};

use crate::checks::Severity;

/// Which theme the maker wants.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum ThemeChoice {
    /// As the desktop is: dark gives blue, light gives paper.
    #[default]
    System,
    /// Bright scribed lines on layout blue.
    Blue,
    /// Ink on paper.
    Paper,
}

/// The colors of one theme.
#[derive(Clone, Debug, PartialEq)]
pub struct Palette {
    /// Bars and panels.
    pub bench: Color32,
    /// Ground of the drawing.
    pub ground: Color32,
    /// Fine lines of the grid.
    pub grid: Color32,
    /// Cards.
    pub card: Color32,
    /// Edges of cards.
    pub card_edge: Color32,
    /// Fields and buttons.
    pub field: Color32,
    /// Text and scribed lines.
    pub line: Color32,
    /// Secondary text.
    pub quiet: Color32,
    /// What is picked, in hand, or the result that matters.
    pub bright: Color32,
    /// Text on `bright`.
    pub on_bright: Color32,
    /// The steel.
    pub steel: Color32,
    /// Steel that leans away from the light as far as it can.
    pub shade: Color32,
    /// Steel that leans toward the light as far as it can.
    pub shine: Color32,
    /// The core of a laminated bar.
    pub core: Color32,
    /// What lies between core and cladding.
    pub shim: Color32,
    /// The outermost layer of a laminated bar.
    pub cladding: Color32,
    /// Bars of the weigh-up.
    pub bar: Color32,
    /// Snaps and guides.
    pub guide: Color32,
    /// Findings that stop the work.
    pub stop: Color32,
    /// Findings to think about.
    pub warn: Color32,
    /// Findings to know.
    pub note: Color32,
}

impl Palette {
    /// The color findings of a severity are told and marked in.
    #[must_use]
    pub(super) fn finding(&self, severity: Severity) -> Color32 {
        match severity {
            Severity::Stop => self.stop,
            Severity::Warn => self.warn,
            Severity::Note => self.note,
        }
    }

    /// The steel under a light, 1 being that on a level face; `contrast` spreads the differences.
    #[must_use]
    pub(super) fn lit(&self, light: f32, contrast: f32) -> Color32 {
        let off = (light - 1.0) * contrast;
        // Steep surfaces come near the ends and never past them, so that they still differ.
        let off = off / (1.0 + off.abs());
        if off < 0.0 {
            self.steel.lerp_to_gamma(self.shade, -off)
        } else {
            self.steel.lerp_to_gamma(self.shine, off)
        }
    }

    /// The color of a layer: 0 is the core, `n_layers − 1` the outermost; a bar of one layer is plain steel.
    #[must_use]
    pub(super) fn layer(&self, place: usize, n_layers: usize) -> Color32 {
        if n_layers <= 1 {
            self.steel
        } else if place == 0 {
            self.core
        } else if place + 1 == n_layers {
            self.cladding
        } else {
            self.shim
        }
    }
}

/// Layout blue.
pub(super) const BLUE: Palette = Palette {
    bench: Color32::from_rgb(0x10, 0x1e, 0x38),
    ground: Color32::from_rgb(0x14, 0x27, 0x4a),
    grid: Color32::from_rgb(0x1b, 0x31, 0x58),
    card: Color32::from_rgb(0x1b, 0x30, 0x58),
    card_edge: Color32::from_rgb(0x2b, 0x42, 0x6e),
    field: Color32::from_rgb(0x12, 0x23, 0x44),
    line: Color32::from_rgb(0xf2, 0xf5, 0xfb),
    quiet: Color32::from_rgb(0x9f, 0xb2, 0xd3),
    bright: Color32::from_rgb(0xf0, 0xa2, 0x56),
    on_bright: Color32::from_rgb(0x10, 0x1e, 0x38),
    steel: Color32::from_rgb(0x2c, 0x4a, 0x7d),
    shade: Color32::from_rgb(0x10, 0x1c, 0x35),
    shine: Color32::from_rgb(0xa9, 0xc8, 0xf6),
    core: Color32::from_rgb(0xe6, 0xeb, 0xf5),
    shim: Color32::from_rgb(0xf0, 0xa2, 0x56),
    cladding: Color32::from_rgb(0x6b, 0x8b, 0xc0),
    bar: Color32::from_rgb(0x3d, 0x61, 0x9b),
    guide: Color32::from_rgb(0x6f, 0xd0, 0xa2),
    stop: Color32::from_rgb(0xff, 0x7b, 0x6e),
    warn: Color32::from_rgb(0xf2, 0xc2, 0x4b),
    note: Color32::from_rgb(0x8f, 0xa7, 0xd0),
};

/// Paper.
pub(super) const PAPER: Palette = Palette {
    bench: Color32::from_rgb(0xeb, 0xe7, 0xdc),
    ground: Color32::from_rgb(0xf6, 0xf4, 0xec),
    grid: Color32::from_rgb(0xe8, 0xe4, 0xd6),
    card: Color32::from_rgb(0xff, 0xff, 0xfd),
    card_edge: Color32::from_rgb(0xd2, 0xcc, 0xbb),
    field: Color32::from_rgb(0xf4, 0xf1, 0xe7),
    line: Color32::from_rgb(0x1e, 0x2b, 0x45),
    quiet: Color32::from_rgb(0x5b, 0x62, 0x70),
    bright: Color32::from_rgb(0xa0, 0x47, 0x0b),
    on_bright: Color32::from_rgb(0xff, 0xff, 0xff),
    steel: Color32::from_rgb(0xdc, 0xe0, 0xe8),
    shade: Color32::from_rgb(0x6b, 0x77, 0x8f),
    shine: Color32::from_rgb(0xff, 0xff, 0xff),
    core: Color32::from_rgb(0x2b, 0x38, 0x55),
    shim: Color32::from_rgb(0xc9, 0x6a, 0x22),
    cladding: Color32::from_rgb(0xa3, 0xb2, 0xc9),
    bar: Color32::from_rgb(0xc6, 0xd0, 0xde),
    guide: Color32::from_rgb(0x1c, 0x6f, 0x4b),
    stop: Color32::from_rgb(0xb4, 0x23, 0x18),
    warn: Color32::from_rgb(0x87, 0x57, 0x02),
    note: Color32::from_rgb(0x58, 0x62, 0x79),
};

/// The palette for a choice, given what the desktop says.
#[must_use]
pub(super) fn palette(choice: ThemeChoice, desktop: Option<Theme>) -> &'static Palette {
    match (choice, desktop) {
        (ThemeChoice::Blue, _) | (ThemeChoice::System, None | Some(Theme::Dark)) => &BLUE,
        (ThemeChoice::Paper, _) | (ThemeChoice::System, Some(Theme::Light)) => &PAPER,
    }
}

/// Gives egui's own widgets the colors of the palette.
pub(super) fn dress(ctx: &egui::Context, palette: &Palette) {
    let dark = *palette == BLUE;
    let theme = if dark { Theme::Dark } else { Theme::Light };
    ctx.set_theme(theme);
    let mut v = if dark {
        Visuals::dark()
    } else {
        Visuals::light()
    };
    v.panel_fill = palette.bench;
    v.window_fill = palette.card;
    v.window_stroke = Stroke::new(1.0, palette.card_edge);
    v.extreme_bg_color = palette.field;
    v.faint_bg_color = palette.card;
    v.hyperlink_color = palette.bright;
    v.warn_fg_color = palette.warn;
    v.error_fg_color = palette.stop;
    v.selection.bg_fill = palette.bright.gamma_multiply(0.35);
    // The words on what is chosen, and the ring round the field that is typed in.
    v.selection.stroke = Stroke::new(1.0, palette.line);
    v.weak_text_color = Some(palette.quiet);
    let radius = CornerRadius::same(6);
    // On what is pointed at, quiet words and those of findings keep their contrast too.
    let pointed_at = if dark {
        palette.card_edge
    } else {
        palette.card.lerp_to_gamma(palette.card_edge, 0.5)
    };
    let w = &mut v.widgets;
    for (widget, fill, edge, text) in [
        (
            &mut w.noninteractive,
            palette.card,
            palette.card_edge,
            palette.line,
        ),
        (
            &mut w.inactive,
            palette.field,
            palette.card_edge,
            palette.line,
        ),
        (&mut w.hovered, pointed_at, palette.bright, palette.line),
        (
            &mut w.active,
            palette.card_edge,
            palette.bright,
            palette.line,
        ),
        (
            &mut w.open,
            palette.card_edge,
            palette.card_edge,
            palette.line,
        ),
    ] {
        widget.bg_fill = fill;
        widget.weak_bg_fill = fill;
        widget.bg_stroke = Stroke::new(1.0, edge);
        widget.fg_stroke = Stroke::new(1.0, text);
        widget.corner_radius = radius;
    }
    ctx.set_visuals_of(theme, v);
    ctx.all_styles_mut(|style| {
        style.spacing.item_spacing = egui::vec2(8.0, 6.0);
        style.spacing.button_padding = egui::vec2(8.0, 4.0);
        style.spacing.menu_margin = Margin::same(6);
        style.interaction.selectable_labels = false;
        style
            .text_styles
            .insert(egui::TextStyle::Small, egui::FontId::proportional(LABEL));
    });
}

/// Lets menus, cards and lists move to their places, or puts them there at once.
pub(super) fn hold_still(ctx: &egui::Context, still: bool) {
    let usual = egui::Style::default();
    ctx.all_styles_mut(|style| {
        (style.animation_time, style.scroll_animation) = if still {
            (0.0, egui::style::ScrollAnimation::none())
        } else {
            (usual.animation_time, usual.scroll_animation)
        };
    });
}

/// Size of text in lists and read-outs.
pub(super) const READ_OUT: f32 = 13.0;

/// Size of labels, hints and summaries: the least that is read with ease.
pub(super) const LABEL: f32 = 11.0;

/// The frame of a card.
pub(super) fn card_frame(palette: &Palette) -> egui::Frame {
    egui::Frame::new()
        .fill(palette.card)
        .stroke(Stroke::new(1.0, palette.card_edge))
        .corner_radius(8.0)
        .inner_margin(Margin::symmetric(12, 9))
}
