//! A browser with one window, the same to handle in every engine.

use std::{path::PathBuf, time::Duration};

use fantoccini::{Client, ClientBuilder, error::CmdError, wd::WebDriverCompatibleCommand};
use http::Method;
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use url::{ParseError, Url};

use super::engine::{Engine, Looks, Running};
use super::program::MISSING;
use super::watch::{WATCHED, said};
use super::{Outcome, address};
use crate::site::DEMO;

/// Height of a window, and of the part of a page that a zoomed one shows.
const HEIGHT: u32 = 800;
const HEIGHT_ZOOMED: u32 = 256;

pub struct Browser {
    pub engine: Engine,
    pub client: Client,
    looks: Looks,
    width: u32,
    _running: Running,
}

/// A command that the client does not have.
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
    pub async fn start(engine: Engine) -> Self {
        let (running, client) = begin(engine, Looks::USUAL).await;
        let mut browser = Self { engine, client, looks: Looks::USUAL, width: 0, _running: running };
        if engine != Engine::WebKit {
            browser.apply().await.expect("a browser that has just started takes how pages are looked at");
        }
        browser
    }

    pub async fn close(self) {
        if let Err(error) = self.client.close().await {
            eprintln!("{:?} could not be closed: {error}", self.engine);
        }
    }

    /// Back to how every story begins.
    pub async fn reset(&mut self) -> Outcome<()> {
        self.look(Looks::USUAL).await?;
        self.set_width(1280).await?;
        self.open("index.html").await?;
        self.run("localStorage.clear(); sessionStorage.clear()", Vec::new()).await?;
        self.complaints().await.map(drop)
    }

    /// Opens a page of the published demo.
    pub async fn open(&self, page: &str) -> Outcome<()> {
        self.go_to(&self.address(page)).await
    }

    /// Opens an address that is not the page already open.
    pub async fn go_to(&self, address: &str) -> Outcome<()> {
        self.leave(address, async |browser| browser.client.goto(address).await).await
    }

    /// Loads the page anew.
    pub async fn reload(&self) -> Outcome<()> {
        let here = self.client.current_url().await?;
        self.leave(here.as_str(), async |browser| browser.client.refresh().await).await
    }

    /// Goes to another document and waits until it is there: a driver may take the end of a step in the page's own
    /// history, which comes late, for the end of loading. So the document left is marked.
    async fn leave(&self, to: &str, go: impl AsyncFnOnce(&Self) -> Outcome<()>) -> Outcome<()> {
        self.run("window.left = true", Vec::new()).await?;
        go(self).await?;
        let there =
            "return !window.left && document.readyState === 'complete' && location.href.split('#')[0] === arguments[0]";
        let to = vec![json!(to.split('#').next())];
        // While one document takes the other's place, no script can run.
        let is = self.until(async |browser| Ok(browser.run(there, to.clone()).await.is_ok_and(|is| is == json!(true))));
        if is.await? { Ok(()) } else { Err(CmdError::WaitTimeout) }
    }

    /// The folder that holds the demo for this engine.
    pub fn folder(&self) -> PathBuf {
        if self.watched() { WATCHED.path().to_owned() } else { DEMO.folder.clone() }
    }

    /// Whether its pages must tell themselves what goes wrong in them.
    pub fn watched(&self) -> bool {
        self.engine != Engine::Chromium
    }

    /// The address of a page of the demo; what stands after `?` or `#` is kept.
    pub fn address(&self, page: &str) -> String {
        let (file, rest) = page.split_at(page.find(['?', '#']).unwrap_or(page.len()));
        address(&self.folder(), file) + rest
    }

    pub async fn run(&self, script: &str, arguments: Vec<Value>) -> Outcome<Value> {
        self.client.execute(script, arguments).await
    }

    /// Waits until something is so, as long as a slow machine may need; tells whether it came.
    pub async fn until(&self, mut is: impl AsyncFnMut(&Self) -> Outcome<bool>) -> Outcome<bool> {
        let begun = std::time::Instant::now();
        while begun.elapsed() < Duration::from_secs(60) {
            if is(self).await? {
                return Ok(true);
            }
            tokio::time::sleep(Duration::from_millis(20)).await;
        }
        Ok(false)
    }

    /// The text that a script gives back.
    pub async fn text(&self, script: &str) -> Outcome<String> {
        Ok(self.run(script, Vec::new()).await?.as_str().unwrap_or_default().to_owned())
    }

    /// Does something that only Chromium's own protocol can.
    pub async fn own(&self, command: &str, parameters: Value) -> Outcome<Value> {
        let body = json!({ "cmd": command, "params": parameters });
        self.client.issue_cmd(Own("goog/cdp/execute", body)).await
    }

    /// Runs a script in Firefox's window instead of the page, where `web` is the page's context and `box` its element.
    async fn in_window(&self, script: &str, arguments: Vec<Value>) -> Outcome<()> {
        self.client.issue_cmd(Own("moz/context", json!({ "context": "chrome" }))).await?;
        let known = "const box = gBrowser.selectedBrowser, web = box.browsingContext;";
        let outcome = self.run(&format!("{known} {script}"), arguments).await;
        self.client.issue_cmd(Own("moz/context", json!({ "context": "content" }))).await?;
        outcome.map(drop)
    }

    pub async fn set_width(&mut self, width: u32) -> Outcome<()> {
        self.width = width;
        self.fit().await
    }

    /// Gives the page its width.
    async fn fit(&self) -> Outcome<()> {
        let (width, height) = (self.width, if self.looks.zoomed { HEIGHT_ZOOMED } else { HEIGHT });
        let scale = if self.looks.zoomed { 4 } else { 1 };
        match self.engine {
            Engine::Chromium => {
                let size =
                    json!({ "width": width, "height": height, "deviceScaleFactor": scale, "mobile": width < 700 });
                self.own("Emulation.setDeviceMetricsOverride", size).await.map(drop)
            }
            Engine::Firefox => {
                let size = "web.fullZoom = arguments[2];
                    for (const edge of ['min', 'max']) {
                        box.style.setProperty(edge + '-width', arguments[0] + 'px');
                        box.style.setProperty(edge + '-height', arguments[1] + 'px');
                    }";
                self.in_window(size, vec![json!(width * scale), json!(height * scale), json!(scale)]).await?;
                self.until_width(width).await
            }
            Engine::WebKit => {
                self.client.set_window_rect(0, 0, width, height).await?;
                self.until_width(width).await
            }
        }
    }

    async fn until_width(&self, width: u32) -> Outcome<()> {
        let is = self.until(async |browser| Ok(browser.run("return innerWidth", Vec::new()).await? == json!(width)));
        assert!(is.await?, "{:?} does not make its page {width} px wide", self.engine);
        Ok(())
    }

    pub async fn set_script(&mut self, script: bool) -> Outcome<()> {
        self.look(Looks { script, ..self.looks }).await
    }

    pub async fn set_dark(&mut self, dark: bool) -> Outcome<()> {
        self.look(Looks { dark, ..self.looks }).await
    }

    /// Zooms to 400 %: of a window of 1280 px, 320 px of the page are left.
    pub async fn set_zoomed(&mut self, zoomed: bool) -> Outcome<()> {
        self.look(Looks { zoomed, ..self.looks }).await?;
        self.set_width(if zoomed { 320 } else { 1280 }).await
    }

    /// Changes how pages are looked at, from the next page that is opened.
    async fn look(&mut self, looks: Looks) -> Outcome<()> {
        if looks == self.looks {
            return Ok(());
        }
        self.looks = looks;
        self.apply().await
    }

    async fn apply(&mut self) -> Outcome<()> {
        let looks = self.looks;
        let scheme = if looks.dark { "dark" } else { "light" };
        match self.engine {
            Engine::Chromium => {
                self.own("Emulation.setScriptExecutionDisabled", json!({ "value": !looks.script })).await?;
                let features = json!([
                    { "name": "prefers-color-scheme", "value": scheme },
                    { "name": "prefers-reduced-motion", "value": "reduce" },
                ]);
                self.own("Emulation.setEmulatedMedia", json!({ "features": features })).await.map(drop)
            }
            Engine::Firefox => {
                let set = "web.allowJavascript = arguments[0]; web.prefersColorSchemeOverride = arguments[1];";
                self.in_window(set, vec![json!(looks.script), json!(scheme)]).await
            }
            Engine::WebKit => {
                self.client.clone().close().await?;
                (self._running, self.client) = begin(self.engine, looks).await;
                if self.width > 0 { self.fit().await } else { Ok(()) }
            }
        }
    }

    /// What went wrong in pages since the last call, and every address asked for that is not a local file. Chromium tells
    /// by itself; in the other engines, a script in front of those of the page tells while scripts run.
    pub async fn complaints(&self) -> Outcome<Vec<String>> {
        if self.watched() {
            return said(self).await;
        }
        let console = self.log("browser").await?;
        let mut found: Vec<String> = console.iter().map(|entry| format!("console: {}", entry["message"])).collect();
        for entry in self.log("performance").await? {
            let message: Value = serde_json::from_str(entry["message"].as_str().unwrap_or("null")).unwrap();
            let message = &message["message"];
            let address = message["params"]["request"]["url"].as_str().unwrap_or_default();
            // Chromium draws the field for a day with pictures of its own, given as data.
            let local = ["file://", "data:"].iter().any(|scheme| address.starts_with(scheme));
            if message["method"] == "Network.requestWillBeSent" && !local {
                found.push(format!("asked for {address}"));
            }
        }
        Ok(found)
    }

    async fn log(&self, kind: &str) -> Outcome<Vec<Value>> {
        let entries = self.client.issue_cmd(Own("se/log", json!({ "type": kind }))).await?;
        Ok(entries.as_array().cloned().unwrap_or_default())
    }
}

async fn begin(engine: Engine, looks: Looks) -> (Running, Client) {
    let running = engine.start(looks);
    let mut builder = ClientBuilder::new(HttpConnector::new());
    builder.capabilities(engine.capabilities(looks).as_object().unwrap().clone());
    let client = builder.connect(&running.driver.address).await;
    (
        running,
        client.unwrap_or_else(|error: fantoccini::error::NewSessionError| panic!("{engine:?} {MISSING} ({error})")),
    )
}
