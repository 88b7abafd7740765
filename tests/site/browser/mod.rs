//! The published pages in Chromium, opened from the local disk and driven through WebDriver.
//!
//! A missing browser is a failure, never a skipped test: `bash tests/run.sh` installs what is needed.

mod card;
mod layout;
mod one_file;
mod paper;
mod search;

use std::{
    io::{BufRead, BufReader},
    process::{Child, Command, Stdio},
    time::Duration,
};

use fantoccini::{Client, ClientBuilder, error::CmdError, wd::WebDriverCompatibleCommand};
use http::Method;
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use url::{ParseError, Url};

const MISSING: &str = "could not be started. The browser tests need Chromium and its driver: on Debian, packages \
                       chromium and chromium-driver; `bash tests/run.sh` installs them";

/// A driver of its own; it ends with this value.
struct Driver {
    process: Child,
    address: String,
}

impl Driver {
    fn start() -> Self {
        let mut command = Command::new("chromedriver");
        command.arg("--port=0").stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::null());
        let mut process = command.spawn().unwrap_or_else(|error| panic!("chromedriver {MISSING} ({error})"));
        let lines = BufReader::new(process.stdout.take().unwrap()).lines();
        let mut said = lines.map_while(Result::ok);
        let port = said.find_map(|line| line.split_once("successfully on port ").map(|(_, port)| port.to_owned()));
        let port = port.unwrap_or_else(|| panic!("chromedriver {MISSING} (it names no port)"));
        Self { process, address: format!("http://127.0.0.1:{}", port.trim_end_matches('.')) }
    }
}

impl Drop for Driver {
    fn drop(&mut self) {
        let ended = self.process.kill().and_then(|()| self.process.wait());
        if let Err(error) = ended {
            eprintln!("chromedriver could not be ended: {error}");
        }
    }
}

/// A browser with one window.
struct Browser {
    client: Client,
}

/// A command of Chromium's own driver that WebDriver does not have.
#[derive(Debug)]
struct Own(&'static str, Value);

impl WebDriverCompatibleCommand for Own {
    fn endpoint(&self, base: &Url, session: Option<&str>) -> Result<Url, ParseError> {
        base.join(&format!("session/{}/{}", session.unwrap_or_default(), self.0))
    }

    fn method_and_body(&self, _: &Url) -> (Method, Option<String>) {
        (Method::POST, Some(self.1.to_string()))
    }
}

impl Browser {
    async fn start(driver: &Driver) -> Self {
        let capabilities = json!({
            "goog:chromeOptions": { "args": [
                "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--hide-scrollbars",
                "--disable-background-networking", "--force-device-scale-factor=1", "--window-size=1280,900",
            ] },
            "goog:loggingPrefs": { "browser": "ALL", "performance": "ALL" },
            "timeouts": { "script": 120_000 },
        });
        let mut builder = ClientBuilder::new(HttpConnector::new());
        builder.capabilities(capabilities.as_object().unwrap().clone());
        let client = builder.connect(&driver.address).await;
        Self { client: client.unwrap_or_else(|error| panic!("Chromium {MISSING} ({error})")) }
    }

    /// Does something that only Chromium's own protocol can.
    async fn own(&self, command: &str, parameters: Value) -> Result<Value, CmdError> {
        let body = json!({ "cmd": command, "params": parameters });
        self.client.issue_cmd(Own("goog/cdp/execute", body)).await
    }

    async fn set_width(&self, width: u32) -> Result<(), CmdError> {
        let size = json!({ "width": width, "height": 800, "deviceScaleFactor": 1, "mobile": width < 700 });
        self.own("Emulation.setDeviceMetricsOverride", size).await.map(drop)
    }

    async fn set_script(&self, on: bool) -> Result<(), CmdError> {
        self.own("Emulation.setScriptExecutionDisabled", json!({ "value": !on })).await.map(drop)
    }

    /// What the console says since the last call, and every address asked for that is not a local file.
    async fn complaints(&self) -> Result<Vec<String>, CmdError> {
        let console = self.log("browser").await?;
        let mut found: Vec<String> = console.iter().map(|entry| format!("console: {}", entry["message"])).collect();
        for entry in self.log("performance").await? {
            let message: Value = serde_json::from_str(entry["message"].as_str().unwrap_or("null")).unwrap();
            let message = &message["message"];
            let address = message["params"]["request"]["url"].as_str().unwrap_or_default();
            if message["method"] == "Network.requestWillBeSent" && !address.starts_with("file://") {
                found.push(format!("asked for {address}"));
            }
        }
        Ok(found)
    }

    async fn log(&self, kind: &str) -> Result<Vec<Value>, CmdError> {
        let entries = self.client.issue_cmd(Own("se/log", json!({ "type": kind }))).await?;
        Ok(entries.as_array().cloned().unwrap_or_default())
    }
}

/// Runs something in a browser, and closes the browser whatever comes of it.
fn browse<T>(work: impl AsyncFnOnce(&Browser) -> Result<T, CmdError>) -> T {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    let driver = Driver::start();
    runtime.block_on(async {
        let browser = Browser::start(&driver).await;
        let limit = Duration::from_secs(300);
        let outcome = tokio::time::timeout(limit, work(&browser)).await;
        browser.client.clone().close().await.unwrap();
        outcome.expect("the browser takes far too long").unwrap()
    })
}

/// The address of a file of the published guide.
fn address(folder: &std::path::Path, page: &str) -> String {
    Url::from_file_path(folder.join(page)).unwrap().into()
}
