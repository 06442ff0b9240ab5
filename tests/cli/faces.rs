//! Every face on one kitchen: whatever is asked for, all give the same figures and warn of the same.

use super::kit::Kitchen;
use jiff::civil::date;
use rackshade::{
    tui::{
        app::App,
        effect::Effect,
        event::Event,
        keys::Key,
        step,
        theme::{Depth, Theme},
        view::view,
        worker::{Answer, work},
    },
    workflow::{
        compare::CompareView,
        kitchen::{Access, Kitchen as Store},
        plan::Planned,
        view::MapView,
    },
};
use ratatui::{Terminal, backend::TestBackend};
use serde_json::Value;
use std::sync::Arc;

const SAID: &str = "older than the service visit of 2026-06-01";

/// The demo kitchen with a visit newer than every test of its wall oven.
fn visited() -> Kitchen {
    let k = Kitchen::demo();
    k.say("ovens visit wall-oven --what 'new seal' --when 2026-06-01")
        .done();
    k
}

/// The screens over a kitchen, large enough that nothing is scrolled away.
struct Screens {
    app: App,
    terminal: Terminal<TestBackend>,
    /// What the worker answered.
    answers: Vec<Answer>,
}

impl Screens {
    fn over(k: &Kitchen) -> Self {
        let (kitchen, _) = Store::open(&k.path(), Access::Read).unwrap();
        let now = date(2026, 11, 25).at(9, 30, 0, 0);
        let mut app = App::new(kitchen, Theme::new(Depth::NoColour), now, &[]);
        app.set_size(200, 70);
        let terminal = Terminal::new(TestBackend::new(200, 70)).unwrap();
        let mut screens = Self {
            app,
            terminal,
            answers: Vec::new(),
        };
        for _ in 0..3 {
            if screens
                .press(Key::Char('r'))
                .contains("record of wall oven")
            {
                break;
            }
            screens.press(Key::Escape);
            screens.press(Key::Down);
        }
        screens
    }

    /// Returns the worker's last answer of a sort.
    fn answer<T: Send + Sync + 'static>(&self) -> Arc<T> {
        let mut latest = self.answers.iter().rev();
        latest.find_map(Answer::value).unwrap()
    }

    /// Presses a key, does the worker's work at once and returns the screen.
    fn press(&mut self, key: Key) -> String {
        let mut events = vec![Event::Key(key)];
        while let Some(event) = events.pop() {
            for effect in step(&mut self.app, event) {
                if let Effect::Work(job) = effect {
                    let answer = work(job);
                    self.answers.push(answer.clone());
                    events.push(Event::Finished(answer));
                }
            }
        }
        self.shown()
    }

    /// Returns the screen as it is.
    fn shown(&mut self) -> String {
        self.terminal.draw(|frame| view(&self.app, frame)).unwrap();
        let buffer = self.terminal.backend().buffer();
        let cells: String = buffer
            .content
            .iter()
            .map(ratatui::buffer::Cell::symbol)
            .collect();
        cells.split_whitespace().collect::<Vec<_>>().join(" ")
    }
}

fn strings(value: &Value) -> Vec<String> {
    let list = value.as_array().unwrap().iter();
    list.map(|v| v.as_str().unwrap().to_owned()).collect()
}

fn paper(k: &Kitchen, kind: &str) -> String {
    let out = k.beside(&format!("{kind}.md"));
    k.say(format!("report {kind} wall-oven --out '{}'", out.display()))
        .done();
    let text = std::fs::read_to_string(out).unwrap();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Of a check by itself, or of one among the full tests, an oven's map would show other figures.
#[test]
fn a_quick_check_leaves_the_map_of_the_kitchen_to_the_full_tests() {
    let k = Kitchen::demo();
    for (mode, racks) in [("still-air", 4), ("fan", 2)] {
        let check = format!("check --oven wall-oven --mode {mode} --racks {racks} --minutes 9.5");
        k.say(format!("{check} --scores 776666")).done();
        let map = k.say(format!("map --oven wall-oven --mode {mode} --json"));
        let map = map.json();
        let mut screens = Screens::over(&k);
        screens.press(Key::Escape);
        screens.press(Key::Char('m'));
        let view = screens.app.shared().map.held().unwrap().1.unwrap();
        assert_eq!(view.findings, strings(&map["findings"]), "{mode}");
        let on_screen: Vec<String> = view.warnings.iter().map(ToString::to_string).collect();
        assert_eq!(on_screen, strings(&map["warnings"]), "{mode}");
        let old = on_screen.iter().any(|w| w.contains("every full test"));
        assert_eq!(old, mode == "fan", "{on_screen:?}");
    }
}

#[test]
fn every_face_warns_of_a_visit_newer_than_every_test() {
    let k = visited();
    let map = k.say("map --oven wall-oven --json").json();
    let warnings = strings(&map["warnings"]);
    assert!(warnings.iter().any(|w| w.contains(SAID)), "{warnings:?}");
    let plan = k.say("plan --oven wall-oven --kind thin-cookie --json");
    let plan = plan.json();
    let ways = k.say("where --kind thin-cookie --json").json();
    let way = |mode: &str| -> Value {
        let ways = ways["ways"].as_array().unwrap();
        let here = |w: &&Value| w["oven"] == "wall-oven" && w["mode"] == mode;
        ways.iter().find(here).unwrap().clone()
    };
    let card = paper(&k, "card");
    let sheet = paper(&k, "technician");
    for warning in &warnings {
        assert!(strings(&plan["warnings"]).contains(warning), "{warning}");
        let ranked = way("still-air");
        assert!(strings(&ranked["plan"]["warnings"]).contains(warning));
        let squeezed = warning.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(card.contains(&squeezed), "{squeezed}\n{card}");
        assert!(sheet.contains(&squeezed), "{squeezed}\n{sheet}");
    }
    assert!(k.say("where --kind thin-cookie").done().contains(SAID));
    let mut screens = Screens::over(&k);
    screens.press(Key::Escape);
    let on_map = screens.press(Key::Char('m'));
    let view = screens.app.shared().map.held().unwrap().1.unwrap();
    let on_screen: Vec<String> = view.warnings.iter().map(ToString::to_string).collect();
    assert_eq!(on_screen, warnings);
    assert_eq!(view.findings, strings(&map["findings"]));
    assert!(on_map.contains("rackshade wall oven, "), "{on_map}");
    let on_plan = screens.press(Key::Enter);
    // Before the caution's words a wide window may break its line.
    let squeezed = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let why = squeezed(&screens.press(Key::Char('i')));
    // The window over the picture breaks the line before the date.
    let said = SAID.trim_end_matches(" 2026-06-01");
    assert!(on_plan.contains("! ") && why.contains(said), "{why}");

    screens.press(Key::Escape);
    let on_choice = screens.press(Key::Char('w'));
    assert!(on_choice.contains(SAID), "{on_choice}");
}

/// The same bake planned on the command line, by the screens' worker and in the ranking.
#[test]
fn every_face_plans_the_same_bake_alike() {
    let k = visited();
    let mut screens = Screens::over(&k);
    screens.press(Key::Escape);
    screens.press(Key::Char('p'));
    let made: Arc<(Planned, Option<MapView>)> = screens.answer();
    let planned = &made.0;
    let tray = planned.plan.tray.unwrap();
    let size = format!("{}x{}cm", tray.width.0, tray.depth.0);
    let pieces = format!("{}x{}", tray.across, tray.deep);
    let bake = format!("--trays 1 --tray {size} --pieces {pieces} --openings 1 --json");
    let kind = planned.plan.kind.as_str();
    let plan = k.say(format!("plan --oven wall-oven --kind {kind} {bake}"));
    let plan = plan.json();
    assert_eq!(strings(&plan["advice"]), planned.sentences());
    let near = |json: &Value, value: f64| (json.as_f64().unwrap() - value).abs() < 1e-9;
    assert!(near(&plan["sd_shade"], planned.plan.evenness.sd));
    assert!(near(&plan["bake_min"], planned.plan.bake.0));
    assert!(near(&plan["dial"]["setting_c"], planned.plan.dial.0));
    let ways = k.say(format!("where --kind {kind} {bake}"));
    let ways = ways.json();
    let racks: Vec<u64> = strings_of_racks(&plan);
    let same = ways["ways"].as_array().unwrap().iter().find(|w| {
        w["oven"] == "wall-oven"
            && w["mode"] == "still-air"
            && strings_of_racks(&w["plan"]) == racks
    });
    let same = &same.unwrap()["plan"];
    assert!(near(&same["dial"]["setting_c"], planned.plan.dial.0));
    for warning in strings(&plan["warnings"]) {
        assert!(strings(&same["warnings"]).contains(&warning), "{warning}");
    }
}

fn strings_of_racks(plan: &Value) -> Vec<u64> {
    let trays = plan["segments"][0]["trays"].as_array().unwrap();
    trays.iter().map(|t| t["rack"].as_u64().unwrap()).collect()
}

/// Two tests with a visit between: command, screen and sheet set the same tests against each other.
#[test]
fn every_face_pools_alike_before_and_after_a_visit() {
    let k = Kitchen::demo();
    let (before, after) = ("2026-03-07-wall-oven", "2026-04-10-wall-oven");
    let compared = k.run(&["compare", before, after, "--json"]).json();
    let findings = strings(&compared["findings"]);
    let alone = k
        .run(&["compare", before, after, "--alone", "--json"])
        .json();
    assert_ne!(strings(&alone["findings"]), findings);
    let mut screens = Screens::over(&k);
    for day in ["2026-04-10", "2026-03-07"] {
        for _ in 0..12 {
            if screens.shown().contains(&format!("\u{25b8} {day}")) {
                break;
            }
            screens.press(Key::Down);
        }
        screens.press(Key::Char(' '));
    }
    screens.press(Key::Char('c'));
    let view: Arc<CompareView> = screens.answer();
    assert_eq!(view.findings, findings);
    let out = k.beside("sheet.json");
    k.say(format!(
        "report technician wall-oven --out '{}'",
        out.display()
    ))
    .done();
    let sheet: Value = serde_json::from_str(&std::fs::read_to_string(out).unwrap()).unwrap();
    let told = sheet["tables"]["before_and_after"].as_array().unwrap();
    let racks = &view.comparison.racks;
    assert_eq!(told.len(), racks.len());
    for (told, rack) in told.iter().zip(racks) {
        let ways = ["by_factor", "by_step"].map(|way| format!("probability_more_even_{way}"));
        let [a, b] = ways.map(|way| told[way].as_f64().unwrap());
        assert_eq!((a, b), rack.more_even_ways, "rack {}", rack.rack);
    }
}
