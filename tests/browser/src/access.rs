//! What somebody meets on the page who does not see it, or not well, or uses no finger.

use crate::browser::Browser;
use fantoccini::elements::Element;
use serde_json::{Value, json};
use std::cell::RefCell;
use std::path::PathBuf;
use std::{env, fmt, fs};

/// The checker of accessibility, as npm has it; `tools/setup` puts it into the cache.
fn checker() -> String {
    let cache = env::var_os("LETTERTALLY_CACHE").map(PathBuf::from);
    let cache = cache.or_else(|| Some(PathBuf::from(env::var_os("HOME")?).join(".cache/lettertally")));
    let within = cache.expect("a cache or a home").join("npm");
    let installed = |entry: fs::DirEntry| {
        let is_it = entry.file_name().to_string_lossy().starts_with("axe-core-");
        is_it.then(|| entry.path().join("node_modules/axe-core/axe.min.js")).filter(|file| file.is_file())
    };
    let mut found: Vec<_> =
        fs::read_dir(within).into_iter().flatten().flatten().filter_map(installed).collect();
    found.sort();
    let file = found.pop().expect("axe-core in the cache: run tools/setup browser");
    fs::read_to_string(file).expect("axe-core")
}

/// Which of the checker's rules are run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rules {
    /// All but those that are only tried out.
    All,
    /// Those that colours can break.
    Colours,
    /// Those that sizes can break.
    Sizes,
}

impl Rules {
    fn options(self) -> Value {
        let only = |rules: &[&str]| json!({ "runOnly": rules, "resultTypes": ["violations", "incomplete"] });
        match self {
            Self::All => json!({
                "rules": { "target-size": { "enabled": true } },
                "resultTypes": ["violations", "incomplete"],
            }),
            Self::Colours => only(&["color-contrast", "link-in-text-block"]),
            Self::Sizes => only(&["target-size", "scrollable-region-focusable", "meta-viewport"]),
        }
    }
}

/// Runs the checker on what can be seen now. What it says of a page that changed meanwhile, such
/// as by what is worked out beside it, holds of no page: then it says so instead.
const CHECK: &str = "
    const [options, done] = arguments;
    for (const change of document.getAnimations()) change.finish();
    let changed = false;
    const watch = new MutationObserver(() => { changed = true; });
    watch.observe(document, { subtree: true, childList: true, attributes: true, characterData: true });
    axe.run(document, options).then(
        ({ violations, incomplete }) => {
            watch.disconnect();
            if (changed) return done(null);
            const told = (kind) => (rule) => rule.nodes.map((node) => {
                const why = [...node.any, ...node.all, ...node.none].map((check) => check.message).join('; ');
                return `${kind} ${rule.id}: ${node.html.slice(0, 160)} (${node.target}): ${why}`;
            });
            done({ faults: violations.flatMap(told('fault')), unsure: incomplete.flatMap(told('unsure')) });
        },
        (error) => done({ faults: [String(error)], unsure: [] }),
    );";

/// What the checker found.
#[derive(Debug, Default)]
pub struct Findings {
    /// What breaks a rule.
    pub faults: Vec<String>,
    /// What it cannot tell by itself.
    pub unsure: Vec<String>,
}

/// What a screen reader says of one thing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spoken {
    /// What it is.
    pub role: String,
    /// What it is called.
    pub name: String,
    /// What else is said of it, such as `pressed` or `live=polite`.
    pub states: Vec<String>,
}

impl fmt::Display for Spoken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} “{}”", self.role, self.name)?;
        self.states.iter().try_for_each(|state| write!(f, " {state}"))
    }
}

impl Browser {
    /// What the checker of accessibility finds on the page as it is now.
    pub fn check_access(&self, rules: Rules) -> Findings {
        if self.ask("return typeof axe", vec![]) != "object" {
            self.ask(&checker(), vec![]);
        }
        let told = RefCell::new(Value::Null);
        self.until("the page rests for a check", || {
            told.replace(self.ask_and_wait(CHECK, vec![rules.options()]));
            !told.borrow().is_null()
        });
        let found = told.into_inner();
        let lines = |kind: &str| {
            let lines = found[kind].as_array().into_iter().flatten();
            lines.filter_map(|line| line.as_str().map(str::to_owned)).collect()
        };
        Findings { faults: lines("faults"), unsure: lines("unsure") }
    }

    /// From now on, what is read out counts: what changes in live regions that are there already.
    pub fn listen(&self) {
        self.ask("probe.regions()", vec![]);
    }

    /// Waits until somebody who only listens has been told something.
    pub fn is_told(&self, words: &str) {
        let told = || self.ask("return probe.told(arguments[0])", vec![json!(words)]) == true;
        self.until(&format!("“{words}” is read out"), told);
    }

    /// All controls that can be seen, in their order.
    pub fn controls(&self) -> Vec<Element> {
        let found = self.ask("return probe.controls()", vec![]);
        let ids = found
            .as_array()
            .into_iter()
            .flatten()
            .filter_map(|one| one.as_object()?.values().next()?.as_str());
        ids.map(|id| self.element(id)).collect()
    }

    /// What a screen reader reads, from the top to the bottom; `None` where the browser does not
    /// tell.
    pub fn read_aloud(&self) -> Option<Vec<Spoken>> {
        let tree = self.accessibility_tree()?;
        let nodes = tree["nodes"].as_array().cloned().unwrap_or_default();
        let root = nodes.first()?;
        let mut told = vec![];
        tell(root, &nodes, &mut told);
        Some(told)
    }
}

/// States that are said only where they hold, and those that are said with their value.
const HOLDING: [&str; 7] =
    ["focused", "disabled", "required", "multiselectable", "modal", "atomic", "readonly"];
const VALUED: [&str; 8] =
    ["live", "pressed", "checked", "expanded", "invalid", "level", "selected", "haspopup"];

fn tell(node: &Value, nodes: &[Value], told: &mut Vec<Spoken>) {
    // The boxes that a text is broken into are for drawing.
    if node["role"]["value"] == "InlineTextBox" {
        return;
    }
    if node["ignored"] != true {
        let text = |part: &str| node[part]["value"].as_str().unwrap_or_default().to_owned();
        let states = node["properties"].as_array().into_iter().flatten().filter_map(|property| {
            let (name, value) = (property["name"].as_str()?, &property["value"]["value"]);
            let value = value.as_str().map_or_else(|| value.to_string(), str::to_owned);
            if HOLDING.contains(&name) {
                return (value == "true").then(|| name.to_owned());
            }
            (VALUED.contains(&name) && value != "false").then(|| format!("{name}={value}"))
        });
        let mut spoken = Spoken { role: text("role"), name: text("name"), states: states.collect() };
        if let Some(value) = node["value"]["value"].as_str() {
            spoken.states.push(format!("value={value}"));
        }
        if let Some(more) = node["description"]["value"].as_str().filter(|more| !more.is_empty()) {
            spoken.states.push(format!("description={more}"));
        }
        told.push(spoken);
    }
    for child in node["childIds"].as_array().into_iter().flatten() {
        if let Some(child) = nodes.iter().find(|node| node["nodeId"] == *child) {
            tell(child, nodes, told);
        }
    }
}
