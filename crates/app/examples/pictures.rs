//! Draws the pictures of the window: `cargo run -p tautleaf-app --example pictures -- FOLDER [NAME]`.
//!
//! Needs a display; a virtual one will do:
//!
//! ```sh
//! Xvfb :77 -screen 0 3840x2160x24 -nolisten tcp -noreset &
//! LIBGL_ALWAYS_SOFTWARE=1 DISPLAY=:77 cargo run -p tautleaf-app --example pictures -- pictures
//! ```
//!
//! Each picture is a real start of the real window, in which actions are carried out as if a user had done them.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use eframe::egui;
use tautleaf_app::action::Action;
use tautleaf_app::axis::Axis;
use tautleaf_app::charts::Kind;
use tautleaf_app::document::Document;
use tautleaf_app::example::EXAMPLES;
use tautleaf_app::extras::Extra;
use tautleaf_app::limit_edits::LimitEdit;
use tautleaf_app::outside::store::Store;
use tautleaf_app::rating_edits::RatingEdit;
use tautleaf_app::state::{Notice, Popup};
use tautleaf_app::trials::sweeping::Asked;
use tautleaf_app::trials::{Trial, tuning};
use tautleaf_app::window::Window;
use tautleaf_physics::parameters::InsulationClass;
use tautleaf_physics::{Band, Figure, number};
use tautleaf_scenario::UnitSystem;

/// Where a strand of the loose belt hangs.
const SLACK_S: f64 = 10.42;
/// Someone waits for the leaf to open.
const WAITS_S: f64 = 0.9;
/// Frames before the picture is taken: layouts have settled and remedies have been found by then.
const SETTLE_FRAMES: u32 = 12;

/// Frames after which a run that goes on tells how much time is left.
const RUNNING_FRAMES: u32 = 60;

struct Picture {
    name: &'static str,
    size: [f32; 2],
    dark: bool,
    actions: Vec<Action>,
}

fn set(key: &'static str, value: f64) -> Action {
    Action::Set { number: number(key).expect("in the table"), value: Some(value), dragging: false }
}

/// Opens a door that is built in, at once.
fn built_in(name: &str) -> Action {
    Action::OpenExample(EXAMPLES.iter().position(|example| example.name == name).expect("built in"))
}

/// A limit of the user that differs from gap to gap.
fn by_gap() -> Action {
    let band = |above_m, to_m, at_most| Band { above_m, to_m, at_most };
    let bands = vec![band(0.0, 0.2, 400.0), band(0.2, 0.5, 700.0), band(0.5, f64::INFINITY, 1400.0)];
    Action::EditLimits(LimitEdit::Bands { key: "impact_force_max".to_owned(), bands, dragging: false })
}

/// A drive and a belt with ratings, one of them exceeded and one not rated.
fn rated() -> Vec<Action> {
    let number = |key, value| RatingEdit::Number(key, Some(value));
    let edits = [
        RatingEdit::Drive("24 V, worm 15:1, 60 W".to_owned()),
        RatingEdit::Belt("5M, 15 mm".to_owned()),
        number("ratings.shaft_load", 600.0),
        number("ratings.allowable_tension", 900.0),
        number("ratings.peak_current", 12.0),
        number("ratings.rated_current", 4.5),
        number("ratings.maximum_speed", 314.0),
        RatingEdit::Insulation(Some(InsulationClass::F)),
    ];
    edits.into_iter().map(Action::EditRatings).collect()
}

fn pictures() -> Vec<Picture> {
    let (small, large) = ([1280.0, 720.0], [1920.0, 1080.0]);
    let heavy = || vec![set("leaf.mass", 140.0), set("closing.speed", 0.42)];
    let over_opening = || Action::Over(Axis::Opening);
    let example = |name: &str| {
        Action::Open(PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../scenarios").join(name))
    };
    let picture = |name, size, dark, actions| Picture { name, size, dark, actions };
    vec![
        picture("window", small, false, heavy()),
        picture("near", small, false, vec![set("leaf.mass", 215.0)]),
        picture("start", small, false, vec![]),
        picture("dark", small, true, heavy()),
        picture("opening", small, false, [heavy(), vec![over_opening()]].concat()),
        picture("large", large, false, heavy()),
        picture(
            "large-dark",
            large,
            true,
            [heavy(), vec![over_opening(), Action::SetUnits(UnitSystem::Us)]].concat(),
        ),
        picture("moment", small, false, vec![Action::PointAtTime(1.2)]),
        picture("held", small, false, [vec![Action::Hold], heavy()].concat()),
        picture(
            "knock",
            small,
            false,
            vec![
                example("knock-at-two-thirds.toml"),
                Action::ShowChart(Kind::Hanger, true),
                Action::ShowChart(Kind::Power, true),
            ],
        ),
        picture(
            "rail",
            small,
            false,
            vec![
                example("knock-at-two-thirds.toml"),
                Action::ShowChart(Kind::Rail, true),
                Action::ShowChart(Kind::Acceleration, true),
                Action::ShowChart(Kind::Winding, true),
                Action::ShowChart(Kind::Energy, false),
                Action::ShowChart(Kind::Force, false),
                Action::ShowChart(Kind::Tension, false),
                over_opening(),
            ],
        ),
        picture(
            "warm",
            large,
            true,
            vec![
                example("motor-too-warm.toml"),
                Action::SetUnits(UnitSystem::Us),
                Action::ShowChart(Kind::Winding, true),
                Action::ShowChart(Kind::Current, true),
                Action::ShowChart(Kind::Jerk, true),
            ],
        ),
        picture("person", small, false, vec![example("person-too-early.toml")]),
        picture("telescopic", small, false, vec![example("telescopic.toml")]),
        picture("telescopic-pair", small, true, vec![example("telescopic-pair.toml")]),
        picture(
            "parts",
            small,
            false,
            vec![Action::Add(Extra::Telescope), Action::Add(Extra::Force(0)), Action::Add(Extra::Fault(0))],
        ),
        picture(
            "least",
            [1024.0, 600.0],
            false,
            vec![
                Action::AskTune(tuning::Asked { probability: Some(0.9), ..tuning::Asked::default() }),
                Action::Show(Popup::Trial(Trial::Tune)),
                Action::Begin(Trial::Tune),
            ],
        ),
        picture(
            "running",
            small,
            false,
            vec![Action::Show(Popup::Trial(Trial::Tune)), Action::Begin(Trial::Tune)],
        ),
        picture("limits", small, false, vec![Action::Show(Popup::Limits)]),
        picture("ratings", small, false, [rated(), vec![Action::Show(Popup::Ratings)]].concat()),
        picture(
            "ratings-least",
            [1024.0, 600.0],
            true,
            [vec![Action::SetUnits(UnitSystem::Us)], rated(), vec![Action::Show(Popup::Ratings)]].concat(),
        ),
        picture(
            "limits-large",
            large,
            true,
            vec![Action::SetUnits(UnitSystem::Us), by_gap(), Action::Show(Popup::Limits)],
        ),
        picture("tension", small, false, vec![Action::Show(Popup::Tension)]),
        picture(
            "tension-large",
            large,
            true,
            vec![set("leaf.mass", 180.0), set("belt.tension", 140.0), Action::Show(Popup::Tension)],
        ),
        picture(
            "closer",
            small,
            false,
            vec![
                built_in("belt-too-loose"),
                Action::Zoom(Some((9.8, 11.8))),
                Action::ShowChart(Kind::Hanger, true),
                Action::ShowChart(Kind::Acceleration, true),
                Action::ShowChart(Kind::Energy, false),
                Action::ShowChart(Kind::Force, false),
            ],
        ),
        picture(
            "least-start",
            [1024.0, 600.0],
            true,
            [heavy(), vec![Action::Hold, set("leaf.mass", 180.0)]].concat(),
        ),
        picture("name", small, true, vec![Action::Show(Popup::Name)]),
        picture(
            "told",
            small,
            false,
            vec![Action::Say(Notice::wrong(
                "Leaf mass was not changed.",
                vec!["\"190 s\" is a time; write a mass such as \"80 kg\"".to_owned()],
            ))],
        ),
        picture(
            "choose-none",
            small,
            false,
            vec![
                set("leaf.mass", 250.0),
                set("leaf.stroke", 1.8),
                Action::Show(Popup::Trial(Trial::Choose)),
                Action::Begin(Trial::Choose),
            ],
        ),
        picture(
            "all-charts",
            large,
            false,
            Kind::ALL.into_iter().map(|kind| Action::ShowChart(kind, true)).collect(),
        ),
        picture("obstacle", small, false, vec![Action::Add(Extra::Obstacle), Action::PointAtTime(12.0)]),
        picture("four-thousand", [3840.0, 2160.0], false, heavy()),
        picture("keys", small, true, vec![Action::Show(Popup::Keys)]),
        picture("first", small, false, vec![]),
        picture("refused", small, false, vec![set("belt.clamp", 15.0), set("leaf.mass", -3.0)]),
        picture("broken", small, false, vec![Action::Open(PathBuf::from("Cargo.toml"))]),
        picture("open", small, true, vec![Action::Show(Popup::Open)]),
        picture("cautions", small, false, vec![Action::Show(Popup::Cautions)]),
        picture("storefront", small, false, vec![example("us-storefront.toml")]),
        picture("pair", small, true, vec![example("bi-parting.toml")]),
        picture("loose", small, false, vec![example("belt-too-loose.toml")]),
        picture(
            "lift",
            small,
            false,
            vec![
                example("wheel-lift.toml"),
                Action::ShowChart(Kind::Hanger, true),
                Action::ShowChart(Kind::Energy, false),
            ],
        ),
        picture("large-loose", large, true, vec![example("belt-too-loose.toml")]),
        picture("weak", small, false, vec![example("drive-too-weak.toml")]),
    ]
    .into_iter()
    .chain(trials())
    .collect()
}

/// Each trial with what came of it, small and large, light and dark.
fn trials() -> impl Iterator<Item = Picture> {
    let heavy = vec![set("leaf.mass", 140.0), set("closing.speed", 0.42)];
    let closing_speed =
        Asked { what: "Closing speed".to_owned(), values: "16".to_owned(), ..Asked::default() };
    let mut against = closing_speed.clone();
    (against.values, against.against) = ("11".to_owned(), "Leaf mass".to_owned());
    let sure = tuning::Asked { probability: Some(0.95), ..tuning::Asked::default() };
    let shown = |trial| vec![Action::Show(Popup::Trial(trial)), Action::Begin(trial)];
    let each = vec![
        (
            ["advise", "advise-dark", "advise-large", "advise-large-dark"],
            [heavy, shown(Trial::Advise)].concat(),
        ),
        (["tune", "tune-dark", "tune-large", "tune-large-dark"], shown(Trial::Tune)),
        (
            ["tune-sure", "tune-sure-dark", "tune-sure-large", "tune-sure-large-dark"],
            [vec![Action::AskTune(sure)], shown(Trial::Tune)].concat(),
        ),
        (["choose", "choose-dark", "choose-large", "choose-large-dark"], shown(Trial::Choose)),
        (
            ["spread", "spread-dark", "spread-large", "spread-large-dark"],
            [vec![set("leaf.mass", 108.0)], shown(Trial::Spread)].concat(),
        ),
        (
            ["sweep", "sweep-dark", "sweep-large", "sweep-large-dark"],
            [vec![Action::AskSweep(closing_speed.clone())], shown(Trial::Sweep)].concat(),
        ),
        (
            ["sweep-map", "sweep-map-dark", "sweep-map-large", "sweep-map-large-dark"],
            [vec![Action::AskSweep(against)], shown(Trial::Sweep)].concat(),
        ),
        (
            ["swept-figure", "swept-figure-dark", "swept-figure-large", "swept-figure-large-dark"],
            [
                vec![Action::AskSweep(closing_speed), Action::ShowSweepOf(Some(Figure::TopSpeedClosing))],
                shown(Trial::Sweep),
            ]
            .concat(),
        ),
    ];
    each.into_iter().flat_map(|(names, actions)| {
        let (small, large) = ([1280.0, 720.0], [1920.0, 1080.0]);
        let looks = [(small, false), (small, true), (large, false), (large, true)];
        let units = [UnitSystem::Si, UnitSystem::Us, UnitSystem::Us, UnitSystem::Si];
        let picture = move |((name, (size, dark)), units)| Picture {
            name,
            size,
            dark,
            actions: [vec![Action::SetUnits(units)], actions.clone()].concat(),
        };
        names.into_iter().zip(looks).zip(units).map(picture)
    })
}

/// The window, and a picture of it after some frames.
struct Photographer {
    window: Window,
    actions: Vec<Action>,
    file: PathBuf,
    frame: u32,
    done: Arc<AtomicBool>,
    /// Frames before it is taken.
    frames: u32,
    /// Whether it is taken while something is under way.
    while_busy: bool,
    /// Pointed at once a file has been opened: opening clears the moment.
    then_at_s: Option<f64>,
}

impl eframe::App for Photographer {
    fn logic(&mut self, ctx: &egui::Context, frame: &mut eframe::Frame) {
        if self.frame == 2 {
            for action in self.actions.drain(..) {
                self.window.send(action);
            }
        }
        if self.frame == SETTLE_FRAMES
            && let Some(t_s) = self.then_at_s.take()
        {
            self.window.send(Action::PointAtTime(t_s));
        }
        self.window.logic(ctx, frame);
    }

    fn ui(&mut self, ui: &mut egui::Ui, frame: &mut eframe::Frame) {
        self.window.ui(ui, frame);
        ui.request_repaint();
        let settled = self.frame > self.frames && (self.while_busy || !self.window.state().jobs.is_busy());
        if !settled {
            self.frame += 1;
        } else if self.frame < u32::MAX {
            self.frame = u32::MAX;
            let (file, done) = (self.file.clone(), Arc::clone(&self.done));
            ui.request_screenshot(move |shot| {
                let [width, height] = shot.size;
                let bytes = shot.as_raw();
                let colour = image::ColorType::Rgba8;
                match image::save_buffer(&file, bytes, width as u32, height as u32, colour) {
                    Ok(()) => println!("{}", file.display()),
                    Err(error) => eprintln!("{}: {error}", file.display()),
                }
                done.store(true, Ordering::Relaxed);
            });
        }
        if self.done.load(Ordering::Relaxed) {
            self.window.send(Action::CloseAnyway);
        }
    }

    fn clear_color(&self, visuals: &egui::Visuals) -> [f32; 4] {
        self.window.clear_color(visuals)
    }
}

fn take(picture: Picture, folder: PathBuf) -> eframe::Result {
    let options = eframe::NativeOptions {
        viewport: egui::ViewportBuilder::default().with_inner_size(picture.size).with_decorations(false),
        renderer: eframe::Renderer::Glow,
        ..eframe::NativeOptions::default()
    };
    let start = move |creation: &eframe::CreationContext<'_>| {
        let document = Document::new(tautleaf_app::example::scenario(), None);
        let mut window = Window::new(&creation.egui_ctx, document, picture.dark);
        if picture.name == "first" {
            window = window.keeping(Store::open(&folder.join("first start"))?);
        }
        let photographer = Photographer {
            window,
            actions: picture.actions,
            file: folder.join(format!("{}.png", picture.name)),
            frame: 0,
            done: Arc::default(),
            frames: if picture.name == "running" { RUNNING_FRAMES } else { SETTLE_FRAMES },
            while_busy: picture.name == "running",
            then_at_s: match picture.name {
                "person" => Some(WAITS_S),
                name => name.ends_with("loose").then_some(SLACK_S),
            },
        };
        let boxed: Box<dyn eframe::App> = Box::new(photographer);
        Ok(boxed)
    };
    eframe::run_native("tautleaf pictures", options, Box::new(start))
}

/// One process a picture: a window opened after another has closed never shows on some desktops.
fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = std::env::args().skip(1);
    let folder = PathBuf::from(arguments.next().ok_or("which folder?")?);
    let wanted: Vec<String> = arguments.collect();
    std::fs::create_dir_all(&folder)?;
    let chosen = |picture: &Picture| wanted.is_empty() || wanted.iter().any(|name| name == picture.name);
    let mut pictures: Vec<Picture> = pictures().into_iter().filter(chosen).collect();
    if pictures.len() == 1 {
        return Ok(take(pictures.remove(0), folder)?);
    }
    for picture in pictures {
        let program = std::env::current_exe()?;
        let status = std::process::Command::new(program).arg(&folder).arg(picture.name).status()?;
        if !status.success() {
            return Err(format!("{}: {status}", picture.name).into());
        }
    }
    Ok(())
}
