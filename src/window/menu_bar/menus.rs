//! The menus. Each entry is a command; what makes no sense now is gray, what is chosen bears a tick.

use egui::containers::menu::{MenuButton, SubMenuButton};
use egui::{Button, MenuBar, Popup, RichText, ScrollArea, Ui};

use crate::knife::MiddleLine;
use crate::units::{LengthUnit, MassUnit};
use crate::window::action::{Action, ExportWish};
use crate::window::bench::BenchPage;
use crate::window::commands::{Command, Snap, Work};
use crate::window::filing::{After, FileWish};
use crate::window::hands;
use crate::window::keyboard::keep_in_sight;
use crate::window::next::{Next, point_at};
use crate::window::session::{Session, Tool};
use crate::window::shown::Shown;
use crate::window::theme::ThemeChoice;

/// Longest text of a recent file in the menu.
const LONGEST_NAME: usize = 48;

/// The entries of the menu for work on the outline.
const OUTLINE_WORK: [Command; 10] = [
    Command::Work(Work::Straighten),
    Command::Work(Work::Fair),
    Command::Work(Work::OneCurve),
    Command::Work(Work::Split),
    Command::DrawOver,
    Command::Work(Work::FullerAlong),
    Command::Both(MiddleLine::Knife),
    Command::Both(MiddleLine::Tang),
    Command::Work(Work::MirrorDown),
    Command::Work(Work::MirrorUp),
];

/// Room kept under a long menu, screen points.
const UNDER_PX: f32 = 16.0;

/// What is shown, or gives its room to the drawing.
const SHOWN: [Command; 7] = [
    Command::Rack,
    Command::Cards,
    Command::Comb,
    Command::Ground,
    Command::Picture,
    Command::FromAbove,
    Command::Section,
];

/// What the menus remember between frames.
#[derive(Clone, Debug, Default)]
pub(super) struct MenusState {
    /// Whether the first menu takes the keyboard in the next frame.
    pub(super) focus_first: bool,
    /// Which menu was open in the last frame.
    open: Option<&'static str>,
    /// Whether the arrow key has just opened a menu.
    by_key: bool,
}

/// One frame's menus.
struct Menus<'a> {
    shown: &'a Shown<'a>,
    session: &'a mut Session,
    actions: &'a mut Vec<Action>,
    /// Whether the next enabled entry takes the keyboard: the menu has just been opened by a key.
    focus_next: bool,
    /// Whether entries without a tick keep room for one, because others of their menu have it.
    room_for_tick: bool,
}

/// Draws the menus and gives the place of their right end.
pub(super) fn menus_ui(
    ui: &mut Ui,
    shown: &Shown<'_>,
    session: &mut Session,
    actions: &mut Vec<Action>,
) -> f32 {
    let mut menus = Menus {
        shown,
        session,
        actions,
        focus_next: false,
        room_for_tick: false,
    };
    MenuBar::new()
        .ui(ui, |ui| {
            ui.spacing_mut().item_spacing.x = 2.0;
            ui.spacing_mut().button_padding = egui::vec2(9.0, 4.0);
            menus.menu_ui(ui, "File", Menus::file_ui);
            menus.menu_ui(ui, "Edit", Menus::edit_ui);
            menus.menu_ui(ui, "Bench", Menus::bench_ui);
            menus.menu_ui(ui, "Help", Menus::help_ui)
        })
        .inner
}

impl Menus<'_> {
    fn menu_ui(&mut self, ui: &mut Ui, name: &'static str, content: fn(&mut Self, &mut Ui)) -> f32 {
        let state = self.session.menu_bar.menus.clone();
        let key = ui.input(|i| hands::PRESS_CONTROL.pressed(i));
        let (response, inner) = MenuButton::new(name).ui(ui, |ui| {
            ui.set_min_width(230.0);
            self.focus_next = state.open != Some(name) && (key || state.by_key);
            // In a low window a long menu rolls.
            let room = ui.ctx().content_rect().bottom() - ui.max_rect().top() - UNDER_PX;
            ui.set_max_height(room);
            ScrollArea::vertical().max_height(room).show(ui, |ui| {
                content(self, ui);
                keep_in_sight(ui);
            });
            self.focus_next = false;
        });
        let down = response.has_focus() && ui.input_mut(|i| hands::OPEN_MENU.taken(i));
        if down {
            Popup::open_id(ui.ctx(), Popup::default_response_id(&response));
        }
        if name == "File" && self.session.next == Some(Next::Save) {
            point_at(ui, response.rect.shrink(2.0), self.shown.palette);
        }
        let state = &mut self.session.menu_bar.menus;
        if std::mem::take(&mut state.focus_first) {
            response.request_focus();
        }
        if inner.is_some() {
            state.open = Some(name);
            state.by_key = false;
        } else if state.open == Some(name) {
            // Closed just now: the keyboard goes back to where the menu hangs.
            state.open = None;
            response.request_focus();
        }
        state.by_key |= down;
        response.rect.right()
    }

    fn file_ui(&mut self, ui: &mut Ui) {
        self.entry_ui(ui, Command::NewSet);
        self.entry_ui(ui, Command::NewKnife);
        ui.separator();
        self.entry_ui(ui, Command::Open);
        self.recent_ui(ui);
        self.entry_ui(ui, Command::OpenByPath);
        self.entry_ui(ui, Command::LayPicture);
        ui.separator();
        self.entry_ui(ui, Command::Save);
        self.entry_ui(ui, Command::SaveAs);
        self.entry_ui(ui, Command::SaveByPath);
        ui.separator();
        for wish in [
            ExportWish::Pdf,
            ExportWish::Folded,
            ExportWish::Together,
            ExportWish::Svg,
            ExportWish::Dxf,
            ExportWish::DxfR12,
            ExportWish::CutTogether,
            ExportWish::All,
            ExportWish::Build,
            ExportWish::Table,
        ] {
            self.entry_ui(ui, Command::Export(wish));
        }
        ui.separator();
        self.entry_ui(ui, Command::Close);
    }

    fn recent_ui(&mut self, ui: &mut Ui) {
        let shown = self.shown;
        let recent = shown.filing.recent();
        if recent.is_empty() {
            ui.add_enabled(false, Button::new("Open recent"));
            return;
        }
        SubMenuButton::new("Open recent").ui(ui, |ui| {
            ui.set_min_width(260.0);
            for path in recent {
                let text = short(&path.display().to_string());
                let entry = ui.add(Button::new(text));
                if entry.on_hover_text(path.display().to_string()).clicked() {
                    let wish = FileWish::Ask(After::Open(path.clone()));
                    self.actions.push(Action::File(wish));
                    ui.close();
                }
            }
        });
    }

    fn edit_ui(&mut self, ui: &mut Ui) {
        self.entry_ui(ui, Command::Undo);
        self.entry_ui(ui, Command::Redo);
        ui.separator();
        self.entry_ui(ui, Command::PickAll);
        self.entry_ui(ui, Command::RemovePicked);
        self.sub_menu_ui(ui, "Outline", &OUTLINE_WORK);
        self.sub_menu_ui(ui, "Several picked", &Work::ON_SEVERAL.map(Command::Work));
        ui.separator();
        self.entry_ui(ui, Command::DoubleKnife);
        self.entry_ui(ui, Command::RemoveKnife);
        self.entry_ui(ui, Command::KnifeUp);
        self.entry_ui(ui, Command::KnifeDown);
    }

    fn bench_ui(&mut self, ui: &mut Ui) {
        for page in BenchPage::ALL {
            self.entry_ui(ui, Command::Page(page));
        }
        ui.separator();
        self.sub_menu_ui(ui, "Tools", &Tool::ALL.map(Command::Take));
        self.entry_ui(ui, Command::Fit);
        self.entry_ui(ui, Command::TrueSize);
        self.entry_ui(ui, Command::Closer);
        self.entry_ui(ui, Command::Farther);
        self.entry_ui(ui, Command::KnifeAbove);
        self.entry_ui(ui, Command::KnifeBelow);
        ui.separator();
        self.sub_menu_ui(ui, "Show", &SHOWN);
        self.sub_menu_ui(ui, "Snaps", &Snap::ALL.map(Command::Snap));
        ui.separator();
        let themes = [ThemeChoice::System, ThemeChoice::Blue, ThemeChoice::Paper];
        self.sub_menu_ui(ui, "Colors", &themes.map(Command::Theme));
        let units = [
            Command::Lengths(LengthUnit::Mm),
            Command::Lengths(LengthUnit::DecimalInch),
            Command::Lengths(LengthUnit::FractionInch),
            Command::Masses(MassUnit::Gram),
            Command::Masses(MassUnit::Ounce),
        ];
        self.sub_menu_ui(ui, "Units", &units);
        let sizes = [
            Command::LargerText,
            Command::SmallerText,
            Command::UsualText,
            Command::Still,
        ];
        self.sub_menu_ui(ui, "Text and motion", &sizes);
        self.entry_ui(ui, Command::Calibrate);
        self.entry_ui(ui, Command::Export(ExportWish::PrinterPage));
        self.entry_ui(ui, Command::Printer);
        self.entry_ui(ui, Command::Figures);
    }

    fn help_ui(&mut self, ui: &mut Ui) {
        self.entries_ui(
            ui,
            &[
                Command::NextStep,
                Command::Keys,
                Command::Cautions,
                Command::About,
            ],
        );
    }

    /// Entries that stand in line with each other, whether some of them bear ticks or not.
    fn entries_ui(&mut self, ui: &mut Ui, commands: &[Command]) {
        self.room_for_tick = commands.iter().any(|c| c.chosen(self.session).is_some());
        for command in commands {
            self.entry_ui(ui, *command);
        }
        self.room_for_tick = false;
    }

    fn sub_menu_ui(&mut self, ui: &mut Ui, name: &str, commands: &[Command]) {
        SubMenuButton::new(name).ui(ui, |ui| {
            ui.set_min_width(220.0);
            self.entries_ui(ui, commands);
        });
    }

    fn entry_ui(&mut self, ui: &mut Ui, command: Command) {
        let enabled = command.enabled(self.shown, self.session);
        let chosen = command.chosen(self.session);
        let label = command.label(self.shown);
        // Room for the tick, which is painted: not every font has one.
        let room = if chosen.is_some() || self.room_for_tick {
            "       "
        } else {
            ""
        };
        let mut button = Button::new(format!("{room}{label}"));
        if let Some(keys) = command.keys().first() {
            let keys = RichText::new(ui.ctx().format_shortcut(keys));
            button = button.shortcut_text(keys.color(self.shown.palette.quiet));
        }
        let response = ui.add_enabled(enabled, button);
        response.widget_info(|| {
            use egui::{Role, WidgetInfo};
            match chosen {
                Some(on) => WidgetInfo::selected(Role::CheckBox, enabled, on, &label),
                None => WidgetInfo::labeled(Role::Button, enabled, &label),
            }
        });
        if chosen == Some(true) {
            self.paint_tick(ui, response.rect);
        }
        if enabled && std::mem::take(&mut self.focus_next) {
            response.request_focus();
        }
        if response.clicked() {
            self.actions.push(Action::Do(command));
            // A tick is often followed by another one.
            if !matches!(command, Command::Snap(_)) {
                ui.close();
            }
        }
    }
}

impl Menus<'_> {
    fn paint_tick(&self, ui: &Ui, entry: egui::Rect) {
        let middle = entry.left_center() + egui::vec2(13.0, 0.0);
        let at = |x: f32, y: f32| middle + egui::vec2(x, y);
        ui.painter().line(
            vec![at(-4.0, 0.0), at(-1.0, 3.0), at(4.0, -4.0)],
            egui::Stroke::new(2.0, self.shown.palette.bright),
        );
    }
}

/// The end of a long path: its file name and as much of the folders as fits.
fn short(path: &str) -> String {
    let n = path.chars().count();
    if n <= LONGEST_NAME {
        return path.to_owned();
    }
    let end: String = path.chars().skip(n - LONGEST_NAME + 1).collect();
    format!("…{end}")
}

#[cfg(test)]
mod tests {
    use super::short;

    #[test]
    fn long_paths_keep_their_end() {
        assert_eq!(short("/a/b.tangwright"), "/a/b.tangwright");
        let long = format!("/{}/müller.tangwright", "é".repeat(80));
        let text = short(&long);
        assert_eq!(text.chars().count(), 48);
        assert!(text.starts_with('…') && text.ends_with("/müller.tangwright"));
    }
}
