//! The command line.

mod findings;
mod plan;
mod proof;
mod why;

use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Args, Parser, Subcommand, ValueEnum};
use indicatif::ProgressBar;

use crate::desk::{Desk, DiskDesk, What};
use crate::inspect::{all, named};
use crate::model::Guide;
use crate::pipeline::{self, Inspected};
use crate::publish::{self, Summary};
use crate::read::{self, Draft};
use crate::render::{Form, theme::left_as_they_are};
use crate::report::{Report, Style};
use findings::Format;

/// Most removed files that are named.
const MOST_NAMED: usize = 20;

/// Exit codes beside 0, nothing wrong.
const FOUND_ERRORS: u8 = 1;
const COULD_NOT_RUN: u8 = 2;

const EXAMPLES: &str = "Examples:
  bayleaf compile content --out site     make the guide in content/ into pages in site/
  bayleaf compile content --one-file     the same as one HTML file for a phone
  bayleaf inspect content                only say what is wrong
  bayleaf plan canopy-slow               the best order of checks of one fault
  bayleaf fields faults                  the keys that a fault can hold
  bayleaf why cause-without-check        what a rule is for, with a bad and a good example

Exit code: 0 nothing wrong, 1 errors found, 2 could not run.";

/// Compiles what a workshop knows about a machine into an offline service guide.
#[derive(Debug, Parser)]
#[command(name = "bayleaf", version, after_help = EXAMPLES)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Make a guide into pages, unless something is wrong with it
    Compile(Compile),
    /// Say everything that is wrong with a guide, in one run, in order of place
    Inspect(Inspect),
    /// Show the best order of checks of one fault, and what it is worth
    Plan(Plan),
    /// Say which files a guide holds, or which keys the files of one place hold
    Fields {
        /// A place, such as `faults`, `guide` or `parts`; left out, all places are listed
        place: Option<String>,
    },
    /// Explain a rule, or list them all
    Why {
        /// Name of the rule, such as `unknown-id`; left out, all rules are listed
        rule: Option<String>,
    },
}

#[derive(Debug, Args)]
struct Compile {
    /// Folder of the guide
    #[arg(default_value = "content")]
    folder: PathBuf,
    /// Folder for the pages; it is replaced as a whole [default: site, or one-file with --one-file]
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
    /// Make one HTML file with everything in it, for a phone
    #[arg(long)]
    one_file: bool,
    /// Folder whose files replace those of the shipped theme
    #[arg(long, value_name = "FOLDER")]
    theme: Option<PathBuf>,
    /// Treat warnings as errors
    #[arg(long)]
    strict: bool,
    /// Threads to work with, 1 to 256; left out, one a core
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    threads: Option<u16>,
}

#[derive(Debug, Args)]
struct Plan {
    /// Id of the fault
    #[arg(required_unless_present = "instance", conflicts_with = "instance")]
    fault: Option<String>,
    /// Folder of the guide
    #[arg(long, value_name = "FOLDER", default_value = "content")]
    guide: PathBuf,
    /// How to print it
    #[arg(long, value_enum, default_value_t = PlanFormat::Text)]
    format: PlanFormat,
    /// Solve a bare problem from a JSON file instead, or from what is piped in where it is `-`; the answer is JSON
    #[arg(long, value_name = "FILE", conflicts_with = "guide")]
    instance: Option<PathBuf>,
    /// Write down why no order is better, and recheck it without searching
    #[arg(long)]
    proof: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum PlanFormat {
    Text,
    Json,
}

#[derive(Debug, Args)]
struct Inspect {
    /// Folder of the guide
    #[arg(default_value = "content")]
    folder: PathBuf,
    /// Treat warnings as errors
    #[arg(long)]
    strict: bool,
    /// Show only the findings of this rule; may be given more than once
    #[arg(long = "only", value_name = "RULE")]
    only: Vec<String>,
    /// How findings are written: for people, one line each, or for programs
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
    /// Threads to work with, 1 to 256; left out, one a core
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    threads: Option<u16>,
}

/// Runs the command that the arguments name.
pub fn run() -> ExitCode {
    let arguments = Arguments::parse();
    let outcome = match &arguments.command {
        Command::Compile(options) => with_threads(options.threads, || compile(options)),
        Command::Inspect(options) => with_threads(options.threads, || inspect(options)),
        Command::Plan(options) => show_plan(options),
        Command::Fields { place } => fields(place.as_deref()),
        Command::Why { rule } => why(rule.as_deref()),
    };
    match outcome {
        Ok(code) => code,
        Err(message) => {
            eprintln!("bayleaf could not run: {message}");
            ExitCode::from(COULD_NOT_RUN)
        }
    }
}

type Exit = Result<ExitCode, String>;

fn with_threads(threads: Option<u16>, work: impl FnOnce() -> Exit + Send) -> Exit {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads.map_or(0, usize::from)).build();
    pool.map_err(|error| format!("the threads could not be started: {error}"))?.install(work)
}

fn compile(options: &Compile) -> Exit {
    let desk = open(&options.folder)?;
    let theme = options.theme.as_deref().map(open).transpose()?;
    let (form, usual) = if options.one_file { (Form::OneFile, "one-file") } else { (Form::Folder, "site") };
    let out = options.out.clone().unwrap_or_else(|| usual.into());
    publish::prepare(&out, &options.folder).map_err(|error| error.to_string())?;
    let progress = Progress::begin();
    progress.says("Reading and judging");
    let inspected = pipeline::inspect_and_search(&desk, None);
    if inspected.report.forbids_publishing(options.strict) {
        progress.end();
        print_findings(&inspected.report, &inspected.draft)?;
        eprintln!("Nothing was published; what was in {} is untouched.", out.display());
        return Ok(ExitCode::from(FOUND_ERRORS));
    }
    progress.says("Making pages");
    let theme = theme.as_ref().map(|folder| folder as &dyn Desk);
    let files = pipeline::render(&inspected, theme, form).map_err(|error| error.to_string())?;
    let one =
        (form == Form::OneFile).then(|| files.iter().next().map(|(name, bytes)| (name.clone(), bytes.len()))).flatten();
    progress.says("Publishing");
    let summary = pipeline::publish(files, &out, &options.folder).map_err(|error| error.to_string())?;
    progress.end();
    if !inspected.report.findings.is_empty() {
        print_findings(&inspected.report, &inspected.draft)?;
    }
    print(&match one {
        Some((name, bytes)) => published_one(&out.join(name), bytes),
        None => published(&summary, &out),
    })?;
    print(&theme.map(left_scripts).unwrap_or_default())?;
    Ok(ExitCode::SUCCESS)
}

/// What a theme's scripts cost that are not made small.
fn left_scripts(theme: &dyn Desk) -> String {
    let line =
        |path| format!("{path} of the theme is published as it is: it is too large or nested too deep to shorten.\n");
    left_as_they_are(theme).into_iter().map(line).collect()
}

/// One file: where it is and how large. What a phone opens without a wait is common practice, no source.
fn published_one(path: &Path, bytes: usize) -> String {
    const MEGABYTE: usize = 1_000_000;
    const SLOW: usize = 20 * MEGABYTE;
    let tenths = bytes.div_ceil(MEGABYTE / 10);
    let slow =
        if bytes > SLOW { "Phones take long to open a file of this size; smaller pictures help most.\n" } else { "" };
    format!(
        "Published: one file of {}.{} MB.\n{slow}Copy {} to the phone and open it there.\n",
        tenths / 10,
        tenths % 10,
        path.display()
    )
}

fn published(summary: &Summary, out: &Path) -> String {
    let mut text = format!(
        "Published: {} files written, {} kept, {} removed.\nOpen {} in any browser.\n",
        summary.written,
        summary.kept,
        summary.removed.len(),
        out.join("index.html").display()
    );
    for path in summary.removed.iter().take(MOST_NAMED) {
        text.push_str(&format!("Removed: {path}\n"));
    }
    if let Some(leftover) = &summary.leftover {
        text.push_str(&format!("{} could not be removed; the next run tries again.\n", leftover.display()));
    }
    text
}

/// A line on the terminal that says what is going on; nothing where no terminal is there.
struct Progress(Option<ProgressBar>);

impl Progress {
    fn begin() -> Self {
        Self(std::io::stderr().is_terminal().then(ProgressBar::new_spinner))
    }

    fn says(&self, what: &'static str) {
        if let Some(bar) = &self.0 {
            bar.set_message(what);
            bar.enable_steady_tick(std::time::Duration::from_millis(100));
        }
    }

    fn end(&self) {
        if let Some(bar) = &self.0 {
            bar.finish_and_clear();
        }
    }
}

fn print_findings(report: &Report, draft: &Draft) -> Result<(), String> {
    print(&findings::written(report, &draft.sources, Format::Text)?)
}

fn inspect(options: &Inspect) -> Exit {
    check_rule_names(&options.only)?;
    let desk = open(&options.folder)?;
    let today = desk.today().map_err(|trouble| {
        format!("SOURCE_DATE_EPOCH is \"{}\". Set it to whole seconds since 1970, or take it away.", trouble.value)
    })?;
    let Inspected { draft, report, .. } = pipeline::inspect_and_search(&desk, Some(today));
    let report = report.only(&options.only);
    print(&findings::written(&report, &draft.sources, options.format)?)?;
    Ok(if report.forbids_publishing(options.strict) { ExitCode::from(FOUND_ERRORS) } else { ExitCode::SUCCESS })
}

fn check_rule_names(rules: &[String]) -> Result<(), String> {
    match rules.iter().find(|rule| named(rule).is_none()) {
        Some(rule) => Err(unknown_rule(rule)),
        None => Ok(()),
    }
}

fn unknown_rule(rule: &str) -> String {
    let known = crate::text::nearest(rule, all().iter().map(|rule| rule.info.name));
    let hint =
        known.map_or("`bayleaf why` lists all rules.".to_owned(), |known| format!("Perhaps `{known}` was meant."));
    format!("no rule is called `{rule}`. {hint}")
}

fn open(folder: &Path) -> Result<DiskDesk, String> {
    let shown = folder.display();
    DiskDesk::open(folder).map_err(|trouble| match trouble.what {
        What::NotAFolder => format!("{shown} is a file. Name the folder it lies in."),
        What::Missing => format!("there is no folder {shown}. Name the folder that holds the guide, or the theme."),
        _ => format!("the folder {shown} cannot be read. Make it readable for you, or name another one."),
    })
}

fn show_plan(options: &Plan) -> Exit {
    if let Some(path) = &options.instance {
        let answer = plan::instance(path, options.proof)?;
        print(&format!("{answer}\n"))?;
        return Ok(ExitCode::SUCCESS);
    }
    let desk = open(&options.guide)?;
    let inspected = pipeline::inspect(&desk, None);
    let guide = &inspected.draft.guide;
    let id = options.fault.as_deref().unwrap_or_default();
    let fault = guide.faults.find(id).ok_or_else(|| unknown_fault(id, guide))?;
    if inspected.facts.plans.too_large(id).is_some() {
        return Err(plan::refused(&inspected.facts, id));
    }
    let planned = inspected.facts.plans.get(id).ok_or_else(|| plan::refused(&inspected.facts, id))?;
    match options.format {
        PlanFormat::Text => {
            print(&plan::text(fault, planned))?;
            let proof = options.proof.then(|| proof::text(&planned.asked.problem, &planned.plan));
            print(&proof.unwrap_or_default())?;
        }
        PlanFormat::Json => {
            let mut answer = plan::as_json(fault, planned);
            if options.proof {
                answer["proof"] = proof::as_json(&planned.asked.problem, &planned.plan, None);
            }
            print(&format!("{answer:#}\n"))?;
        }
    }
    Ok(ExitCode::SUCCESS)
}

fn unknown_fault(id: &str, guide: &Guide) -> String {
    let known = crate::text::nearest(id, guide.faults.iter().map(|fault| fault.head.id.value.as_str()));
    match known {
        Some(known) => format!("no fault is called `{id}`. Perhaps `{known}` was meant."),
        None => {
            let all: Vec<&str> = guide.faults.iter().map(|fault| fault.head.id.value.as_str()).collect();
            format!("no fault is called `{id}`. The guide has: {}.", all.join(", "))
        }
    }
}

fn fields(place: Option<&str>) -> Exit {
    let unknown = || {
        let place = place.unwrap_or_default();
        format!("no files of a guide are called `{place}`; `bayleaf fields` lists the places.")
    };
    print(&read::fields_of(place).ok_or_else(unknown)?)?;
    Ok(ExitCode::SUCCESS)
}

fn why(rule: Option<&str>) -> Exit {
    let Some(name) = rule else {
        let lines = all().iter().map(|rule| {
            let info = &rule.info;
            format!("{:<8} {:<11} {}\n", info.level.word(), info.family, info.name)
        });
        print(&lines.collect::<String>())?;
        return Ok(ExitCode::SUCCESS);
    };
    let rule = named(name).ok_or_else(|| unknown_rule(name))?;
    print(&why::for_reading(rule.info.page))?;
    Ok(ExitCode::SUCCESS)
}

fn style() -> Style {
    let plain = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    Style { colour: !plain && std::io::stdout().is_terminal(), width: 100 }
}

/// Prints; a reader that has gone away is no error.
fn print(text: &str) -> Result<(), String> {
    match std::io::stdout().lock().write_all(text.as_bytes()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(format!("nothing could be printed: {error}"))
        }
        _ => Ok(()),
    }
}
