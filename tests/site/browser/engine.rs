//! The three browser engines: how each is started, and how long it may take.

use std::{fs, path::PathBuf};

use serde_json::{Value, json};
use tempfile::TempDir;

use super::program::{Program, display, driver};

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Engine {
    Chromium,
    Firefox,
    WebKit,
}

/// How a page is looked at. WebKit takes these only when it starts; the others at any time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Looks {
    pub script: bool,
    pub dark: bool,
    /// Four times as large: 1280 px of a screen hold 320 px of a page.
    pub zoomed: bool,
}

impl Looks {
    pub const USUAL: Self = Self { script: true, dark: false, zoomed: false };
}

/// A started driver with what it needs; in the order in which they are to end.
pub struct Running {
    pub driver: Program,
    _display: Option<Program>,
    _settings: Option<TempDir>,
}

impl Engine {
    /// What a session of this engine asks of its driver.
    pub fn capabilities(self, looks: Looks) -> Value {
        match self {
            Self::Chromium => json!({
                "goog:chromeOptions": { "args": [
                    "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--hide-scrollbars",
                    "--disable-background-networking", "--force-device-scale-factor=1", "--window-size=1280,900",
                ] },
                "goog:loggingPrefs": { "browser": "ALL", "performance": "ALL" },
                "timeouts": { "script": 900_000 },
            }),
            Self::Firefox => json!({
                "browserName": "firefox",
                "moz:firefoxOptions": { "args": ["-headless"], "prefs": { "ui.useOverlayScrollbars": 1, "ui.prefersReducedMotion": 1 } },
                "timeouts": { "script": 900_000 },
            }),
            Self::WebKit => json!({
                "browserName": "MiniBrowser",
                "webkitgtk:browserOptions": { "binary": mini_browser(), "args": mini_browser_arguments(looks) },
                "timeouts": { "script": 900_000 },
            }),
        }
    }

    /// Starts the driver of this engine.
    pub fn start(self, looks: Looks) -> Running {
        match self {
            Self::Chromium => Running::alone(driver("chromedriver", &[], &[])),
            Self::Firefox => {
                Running::alone(driver("geckodriver", &["--websocket-port=0", "--allow-system-access"], &[]))
            }
            Self::WebKit => {
                let (display, name) = display();
                let settings = narrow_windows();
                let mut environment = vec![
                    ("DISPLAY", name),
                    ("XDG_CONFIG_HOME", settings.path().to_str().unwrap().to_owned()),
                    ("WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS", "1".to_owned()),
                ];
                if looks.zoomed {
                    environment.push(("GDK_SCALE", "4".to_owned()));
                }
                let driver = driver("WebKitWebDriver", &[], &environment);
                Running { driver, _display: Some(display), _settings: Some(settings) }
            }
        }
    }
}

impl Running {
    fn alone(driver: Program) -> Self {
        Self { driver, _display: None, _settings: None }
    }
}

/// The small browser that WebKitGTK brings for tests, wherever the architecture puts it.
fn mini_browser() -> PathBuf {
    let below = |folder: PathBuf| fs::read_dir(folder).into_iter().flatten().flatten().map(|entry| entry.path());
    let versions = below("/usr/lib".into()).chain(below("/usr/libexec".into())).flat_map(below);
    let mut found: Vec<PathBuf> =
        versions.map(|version| version.join("MiniBrowser")).filter(|it| it.exists()).collect();
    found.sort();
    found.pop().unwrap_or_else(|| panic!("MiniBrowser {}", super::program::MISSING))
}

/// Without script means without the scripts of the page: those of the driver must still run.
fn mini_browser_arguments(looks: Looks) -> Vec<&'static str> {
    let mut arguments = vec!["--automation"];
    if !looks.script {
        arguments.push("--enable-javascript-markup=false");
    }
    if looks.dark {
        arguments.push("--dark-mode");
    }
    arguments
}

/// Settings under which the tool bar of a window does not keep it from being 320 px wide.
fn narrow_windows() -> TempDir {
    let settings = TempDir::new().unwrap();
    let style = "* { padding: 0; margin: 0; min-width: 0; min-height: 0; border-width: 0; font-size: 1px; \
                 -gtk-icon-transform: scale(0.1) }";
    fs::create_dir(settings.path().join("gtk-3.0")).unwrap();
    fs::write(settings.path().join("gtk-3.0/gtk.css"), style).unwrap();
    // Pages that scroll slowly are not where a driver clicks.
    fs::write(settings.path().join("gtk-3.0/settings.ini"), "[Settings]\ngtk-enable-animations=0\n").unwrap();
    settings
}
