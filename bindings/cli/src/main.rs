//! The `salver` command: arguments and terminal output. Every decision is made in the library.

mod input;
mod show;

use std::fs::File;
use std::io::{self, BufWriter, IsTerminal, Read, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::Duration;

use anstream::AutoStream;
use clap::{Args, Parser, Subcommand};
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use salver::{Action, Checker, InputError, Ontology, OntologyFile, limits, wire};
use serde::Deserialize;

use input::{Record, Records};

/// Is this meal tray safe for this diet order? Supports trained staff; does not replace them.
#[derive(Parser)]
#[command(name = "salver", version, about)]
struct Cli {
    /// A facility's own foods, names and rules over the ontology, as JSON
    #[arg(long, global = true, value_name = "FILE")]
    overlay: Option<PathBuf>,
    /// An ontology folder to use instead of the built-in one: keepers see an edit without building anew
    #[arg(long, global = true, value_name = "FOLDER", conflicts_with = "overlay")]
    ontology: Option<PathBuf>,
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Judge trays against orders. Exit code 0: all serve; 1: some other verdict; 2: some input could not be read
    Check(CheckArgs),
    /// What a food text holds
    Read(TextArgs),
    /// What a diet card orders
    Card(TextArgs),
    /// What the ontology holds on a food or diet, with its paths and sources
    Know(KnowArgs),
}

#[derive(Args)]
struct CheckArgs {
    /// Files with checks as JSON or JSON Lines; standard input when none is named
    files: Vec<PathBuf>,
    /// One verdict as a JSON object a line, in input order
    #[arg(long)]
    json: bool,
}

#[derive(Args)]
struct TextArgs {
    /// The texts; lines of standard input when none is given
    text: Vec<String>,
    /// Read JSON Lines from standard input (or files), write one JSON object a line
    #[arg(long)]
    json: bool,
    /// Read the input from this file instead of standard input
    #[arg(long, value_name = "FILE", conflicts_with = "text")]
    file: Option<PathBuf>,
}

#[derive(Args)]
struct KnowArgs {
    /// A food or diet, in words or by its id
    #[arg(required_unless_present = "lint")]
    word: Vec<String>,
    /// Counts over the whole ontology, and places that its keepers may want to look at
    #[arg(long)]
    lint: bool,
    /// JSON instead of words
    #[arg(long)]
    json: bool,
}

fn main() -> ExitCode {
    let cli = Cli::parse();
    let checker = match cli.ontology.as_ref().map_or_else(|| checker(cli.overlay.as_ref()), |f| from_folder(f)) {
        Ok(checker) => checker,
        Err(message) => return fail(&message),
    };
    let outcome = match &cli.command {
        Command::Check(args) => check(&checker, args),
        Command::Read(args) => texts(&checker, args, wire::read, show::read),
        Command::Card(args) => texts(&checker, args, wire::card, show::card),
        Command::Know(args) => know(&checker, args),
    };
    match outcome {
        Ok(code) => code,
        // The reader of our output has gone away: nothing is left to say.
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => ExitCode::from(2),
        Err(error) => fail(&error.to_string()),
    }
}

fn checker(overlay: Option<&PathBuf>) -> Result<Checker, String> {
    let Some(path) = overlay else { return Checker::built_in().map_err(|e| e.to_string()) };
    let file = File::open(path).map_err(|e| format!("{}: {e}", path.display()))?;
    let mut text = String::new();
    file.take(limits::OVERLAY_BYTES as u64 + 1)
        .read_to_string(&mut text)
        .map_err(|e| format!("{}: {e}", path.display()))?;
    Checker::with_overlay(&text).map_err(|e| format!("{}: {e}", path.display()))
}

fn from_folder(folder: &Path) -> Result<Checker, String> {
    let files = ontology_files(folder).map_err(|e| format!("{}: {e}", folder.display()))?;
    let files: Vec<OntologyFile<'_>> = files.iter().map(|(path, text)| OntologyFile { path, text }).collect();
    Ontology::from_files(&files).map(Checker::new).map_err(|e| format!("{}: {e}", folder.display()))
}

/// The manifest of an ontology folder and every file that it lists.
fn ontology_files(folder: &Path) -> io::Result<Vec<(String, String)>> {
    #[derive(Deserialize)]
    struct Listed {
        files: Vec<String>,
    }
    let manifest = std::fs::read_to_string(folder.join("manifest.json"))?;
    let listed: Listed = serde_json::from_str(&manifest)?;
    let mut files = vec![("manifest.json".to_owned(), manifest)];
    for path in listed.files {
        let text = std::fs::read_to_string(folder.join(&path))
            .map_err(|error| io::Error::new(error.kind(), format!("{path}: {error}")))?;
        files.push((path, text));
    }
    Ok(files)
}

fn fail(message: &str) -> ExitCode {
    let mut stderr = anstream::stderr();
    // Nothing can be done when even standard error is closed.
    let _ = writeln!(stderr, "salver: {message}");
    ExitCode::from(2)
}

fn error_line(record: &Record, error: &InputError) -> io::Result<String> {
    let place = wire::ErrorPlace { file: record.file.as_deref(), line: record.line, error };
    Ok(serde_json::to_string(&wire::ErrorAnswer { error: place })?)
}

fn check(checker: &Checker, args: &CheckArgs) -> io::Result<ExitCode> {
    let mut out = BufWriter::new(AutoStream::auto(io::stdout().lock()));
    let progress = progress();
    let (mut all_serve, mut all_read) = (true, true);
    let mut caution = None;
    for record in Records::open(&args.files)? {
        let record = record?;
        progress.inc(1);
        let checked = record.json().and_then(|json| {
            let ask = wire::parse_check(json)?;
            let verdict = checker.check(&ask.order, &ask.tray)?;
            Ok((ask.tray, wire::CheckAnswer { id: ask.id, verdict }))
        });
        match checked {
            Ok((tray, answer)) => {
                all_serve &= answer.verdict.verdict == Action::Serve;
                if args.json {
                    writeln!(out, "{}", serde_json::to_string(&answer)?)?;
                } else {
                    show::verdict(&mut out, record.number, &tray, &answer)?;
                    caution = Some(answer.verdict.caution);
                }
            }
            Err(error) => {
                all_read = false;
                if args.json {
                    writeln!(out, "{}", error_line(&record, &error)?)?;
                } else {
                    show::error(&mut out, &record, &error)?;
                }
            }
        }
    }
    progress.finish_and_clear();
    if let Some(caution) = caution {
        show::caution(&mut out, &caution)?;
    }
    out.flush()?;
    Ok(ExitCode::from(if !all_read { 2 } else { u8::from(!all_serve) }))
}

type Ask = fn(&Checker, &str) -> Result<String, InputError>;
type Show = fn(&mut dyn Write, &Checker, &str) -> io::Result<Result<(), InputError>>;

fn texts(checker: &Checker, args: &TextArgs, ask: Ask, show: Show) -> io::Result<ExitCode> {
    let mut out = BufWriter::new(AutoStream::auto(io::stdout().lock()));
    let progress = progress();
    let mut all_read = true;
    let given = args.text.join(" ");
    let records: Box<dyn Iterator<Item = io::Result<Record>>> = if args.text.is_empty() {
        let files: Vec<PathBuf> = args.file.iter().cloned().collect();
        Box::new(if args.json { Records::open(&files)? } else { Records::lines(&files)? })
    } else if args.json {
        // One text on the command line becomes one record of the same shape.
        let field = if std::ptr::fn_addr_eq(ask, wire::card as Ask) { "text" } else { "name" };
        let json = serde_json::to_string(&std::collections::BTreeMap::from([(field, given)]))?;
        Box::new(std::iter::once(Ok(Record::text(json))))
    } else {
        Box::new(std::iter::once(Ok(Record::text(given))))
    };
    for record in records {
        let record = record?;
        progress.inc(1);
        let answered = match record.json() {
            Ok(text) if args.json => ask(checker, text).map(|line| writeln!(out, "{line}")),
            Ok(text) => match show(&mut out, checker, text)? {
                Ok(()) => Ok(Ok(())),
                Err(error) => Err(error),
            },
            Err(error) => Err(error),
        };
        match answered {
            Ok(written) => written?,
            Err(error) => {
                all_read = false;
                if args.json {
                    writeln!(out, "{}", error_line(&record, &error)?)?;
                } else {
                    show::error(&mut out, &record, &error)?;
                }
            }
        }
    }
    progress.finish_and_clear();
    out.flush()?;
    Ok(ExitCode::from(if all_read { 0 } else { 2 }))
}

fn know(checker: &Checker, args: &KnowArgs) -> io::Result<ExitCode> {
    let mut out = BufWriter::new(AutoStream::auto(io::stdout().lock()));
    if args.lint {
        let census = checker.ontology().census();
        if args.json {
            writeln!(out, "{}", serde_json::to_string(&census)?)?;
        } else {
            show::census(&mut out, &census)?;
        }
        out.flush()?;
        return Ok(ExitCode::SUCCESS);
    }
    let word = args.word.join(" ");
    let found = wire::know(checker, &word).and_then(|foods| Ok((foods, wire::know_diets(checker, &word)?)));
    let (foods, diets) = match found {
        Ok(found) => found,
        Err(error) => return Ok(fail(&error.to_string())),
    };
    if args.json {
        for food in &foods {
            writeln!(out, "{}", serde_json::to_string(food)?)?;
        }
        for diet in &diets {
            writeln!(out, "{}", serde_json::to_string(diet)?)?;
        }
    } else {
        for food in &foods {
            show::food(&mut out, food)?;
        }
        for diet in &diets {
            show::diet(&mut out, diet)?;
        }
    }
    out.flush()?;
    if foods.is_empty() && diets.is_empty() {
        return Ok(fail(&format!("`{word}` names no food or diet that is known")));
    }
    Ok(ExitCode::SUCCESS)
}

/// A count on standard error, for people who wait; nothing where no terminal is.
fn progress() -> ProgressBar {
    if !io::stderr().is_terminal() || io::stdout().is_terminal() {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::stderr_with_hz(4));
    if let Ok(style) = ProgressStyle::with_template("{pos} read, {per_sec}") {
        bar.set_style(style);
    }
    bar.enable_steady_tick(Duration::from_millis(500));
    bar
}
