//! Words for people: nothing here decides, and colour is never the only signal.

use std::io::{self, Write};

use anstyle::{AnsiColor, Style};
use salver::{Action, Census, Checker, FoodLevel, InputError, Item, PieceSize, Presence, Step, Tray, wire};

use crate::input::Record;

fn style(action: Action) -> Style {
    let colour = match action {
        Action::Serve => AnsiColor::Green,
        Action::Remove => AnsiColor::Cyan,
        Action::Ask => AnsiColor::Yellow,
        Action::Return => AnsiColor::Red,
    };
    colour.on_default().bold()
}

/// One verdict.
pub(crate) fn verdict(out: &mut dyn Write, number: u64, tray: &Tray, answer: &wire::CheckAnswer) -> io::Result<()> {
    let verdict = &answer.verdict;
    let style = style(verdict.verdict);
    let title = answer.id.clone().unwrap_or_else(|| format!("tray {number}"));
    writeln!(out, "{title}: {style}{}{style:#}", verdict.verdict.word().to_uppercase())?;
    writeln!(out, "  {}", verdict.say)?;
    for finding in &verdict.findings {
        writeln!(out, "  - {}: {}", finding.action.word(), finding.say)?;
        let chain: Vec<String> = finding.because.iter().map(step).collect();
        if !chain.is_empty() {
            writeln!(out, "      {}", chain.join(" > "))?;
        }
    }
    for unread in &verdict.unread {
        let item = tray.items.get(unread.item).map(|i| i.name.as_str()).unwrap_or_default();
        let meant = if unread.read_as.is_empty() {
            String::new()
        } else {
            format!(" (read as {})", unread.read_as.join(" or "))
        };
        writeln!(out, "  not understood: \"{}\"{meant} in {item}", unread.text)?;
    }
    for assumption in &verdict.assumptions {
        writeln!(out, "  assumed: {}", assumption.say)?;
    }
    writeln!(out)
}

/// The caution of the verdicts, once.
pub(crate) fn caution(out: &mut dyn Write, caution: &str) -> io::Result<()> {
    writeln!(out, "{caution}")
}

/// A record that could not be taken.
pub(crate) fn error(out: &mut dyn Write, record: &Record, error: &InputError) -> io::Result<()> {
    let style = AnsiColor::Red.on_default().bold();
    let file = record.file.as_ref().map(|f| format!("{f}, ")).unwrap_or_default();
    writeln!(out, "{style}NOT READ{style:#}: {file}line {}: {error}\n", record.line)
}

fn sources(keys: &[String]) -> String {
    if keys.is_empty() { String::new() } else { format!(" [{}]", keys.join(", ")) }
}

fn step(step: &Step) -> String {
    match step {
        Step::Text { text, read_as, .. } => format!("\"{text}\" is {read_as}"),
        Step::KindOf { to, source, .. } => format!("a kind of {to}{}", sources(source)),
        Step::MadeWith { to, strength, source, .. } => {
            let how = format!("{strength:?}").to_lowercase();
            format!("{how} made with {to}{}", sources(source))
        }
        Step::MayHide { to, source, .. } => format!("may hide {to}{}", sources(source)),
        Step::Claim { text, .. } => format!("claim \"{text}\""),
        Step::Precaution => "under a precautionary statement".to_owned(),
        Step::MoreGeneral { than, .. } => format!("may be {than}"),
        Step::Unread { text, .. } => format!("\"{text}\" not understood"),
        Step::Form { concept, food, drink, risks, prepared, source } => {
            let mut words = Vec::new();
            words.extend(food.map(|l| format!("food {}", level(l))));
            words.extend(drink.map(|l| format!("drink {}", l.number())));
            words.extend(risks.iter().cloned());
            let prepared = if prepared.is_empty() { String::new() } else { format!(" ({})", prepared.join(", ")) };
            format!("{concept}{prepared} ordinarily {}{}", words.join(", "), sources(source))
        }
        Step::Tested { food_from, food_to, drink, transitional, source, .. } => {
            let mut words = Vec::new();
            if *food_from > FoodLevel::Liquidised || *food_to < FoodLevel::Regular {
                let to = if food_from == food_to { String::new() } else { format!(" to {}", level(*food_to)) };
                words.push(format!("food {}{to}", level(*food_from)));
            }
            words.extend(drink.map(|(from, to)| {
                let to = if from == to { String::new() } else { format!(" to {}", to.number()) };
                format!("drink {}{to}", from.number())
            }));
            words.extend(transitional.then(|| "transitional".to_owned()));
            let words = if words.is_empty() { "nothing that settles a level".to_owned() } else { words.join(", ") };
            format!("tested: {words}{}", sources(source))
        }
        Step::Trait { id, source, .. } => format!("{id}{}", sources(source)),
        Step::SameGroup { concept, excluded, source } => {
            format!("{concept} is of one group with {excluded}{}", sources(source))
        }
        Step::Rule { order, says, source } => format!("order ({order}): \"{says}\"{}", sources(source)),
        _ => String::new(),
    }
}

fn level(level: FoodLevel) -> String {
    match level {
        FoodLevel::EasyToChew => "7 easy to chew".to_owned(),
        other => other.number().to_string(),
    }
}

fn list(out: &mut dyn Write, title: &str, words: &[String]) -> io::Result<()> {
    if words.is_empty() { Ok(()) } else { writeln!(out, "  {title}: {}", words.join(", ")) }
}

/// What a food text holds.
pub(crate) fn read(out: &mut dyn Write, checker: &Checker, text: &str) -> io::Result<Result<(), InputError>> {
    let contents = match checker.read(&Item::named(text)) {
        Ok(contents) => contents,
        Err(error) => return Ok(Err(error)),
    };
    let answer = wire::read_answer(checker, None, &contents);
    writeln!(out, "{text}")?;
    let named: Vec<String> =
        contents.named().iter().map(|id| checker.ontology().concept(*id).id().to_owned()).collect();
    list(out, "read as", &named)?;
    for presence in [Presence::Contains, Presence::May(salver::MayReason::RecipesDiffer), Presence::Unknown] {
        let of: Vec<String> =
            answer.holds.iter().filter(|(_, p)| p.word() == presence.word()).map(|(f, _)| f.clone()).collect();
        list(out, presence.word(), &of)?;
    }
    let mut form = Vec::new();
    form.extend(answer.form.food.map(|l| format!("food {}", level(l))));
    form.extend(answer.form.drink.map(|l| format!("drink {}", l.number())));
    form.extend(answer.form.risks.iter().cloned());
    list(out, "ordinarily", &form)?;
    list(out, "claims", &answer.claims)?;
    let unread: Vec<String> = answer
        .unread
        .iter()
        .map(|u| {
            let meant =
                if u.read_as.is_empty() { String::new() } else { format!(" (read as {})", u.read_as.join(" or ")) };
            format!("\"{}\"{meant}", u.text)
        })
        .collect();
    list(out, "not understood", &unread)?;
    let makers: Vec<String> = answer.trade_names.iter().map(|u| format!("\"{}\"", u.text)).collect();
    list(out, "names of makers, whose labels say what is in it", &makers)?;
    Ok(Ok(()))
}

/// What a diet card orders.
pub(crate) fn card(out: &mut dyn Write, checker: &Checker, text: &str) -> io::Result<Result<(), InputError>> {
    let card = match checker.card(text) {
        Ok(card) => card,
        Err(error) => return Ok(Err(error)),
    };
    writeln!(out, "{text}")?;
    for allergy in &card.allergies {
        let severe = if allergy.severe { ", severe" } else { "" };
        let kind = format!("{:?}", allergy.kind).to_lowercase();
        writeln!(out, "  {kind}: {} ({}{severe})", allergy.to, allergy.concepts.join(", "))?;
    }
    if card.none_known {
        writeln!(out, "  no known food allergies")?;
    }
    list(out, "diets", &card.diets)?;
    list(out, "food level", &card.food_level.map(level).into_iter().collect::<Vec<_>>())?;
    list(out, "liquid level", &card.liquid_level.map(|l| l.number().to_string()).into_iter().collect::<Vec<_>>())?;
    list(out, "cleared", &card.cleared)?;
    if card.piece_size == Some(PieceSize::Paediatric) {
        writeln!(out, "  piece sizes: paediatric")?;
    }
    list(out, "fluid limit", &card.fluid_limit_ml.map(|ml| format!("{ml} mL a day")).into_iter().collect::<Vec<_>>())?;
    list(out, "supplements", &card.supplements)?;
    list(out, "precautions", &card.precautions)?;
    list(out, "preferences", &card.preferences)?;
    list(out, "drugs, not judged", &card.drugs)?;
    list(out, "denied", &card.denied)?;
    list(out, "remarks", &card.remarks)?;
    for unclear in &card.unclear {
        writeln!(out, "  unclear: \"{}\": {}", unclear.text, unclear.why)?;
    }
    Ok(Ok(()))
}

/// What the ontology holds on a food.
pub(crate) fn food(out: &mut dyn Write, food: &wire::KnowAnswer) -> io::Result<()> {
    let bold = Style::new().bold();
    writeln!(out, "{bold}{}{bold:#} ({})", food.id, food.file)?;
    list(out, "names", &food.names)?;
    for way in &food.kinds_of {
        writeln!(out, "  is: {}", way.join(" > "))?;
    }
    for made in &food.made_with {
        let how = format!("{:?}", made.strength).to_lowercase();
        let by = if made.stated_by == food.id { String::new() } else { format!(" (as {})", made.stated_by) };
        writeln!(out, "  {how} made with: {}{by}", made.to)?;
    }
    for made in &food.in_statements {
        let how = format!("{:?}", made.strength).to_lowercase();
        writeln!(out, "  in an ingredient statement {how}: {}", made.to)?;
    }
    list(out, "may hide", &food.may_hide)?;
    if let Some(known) = &food.form {
        let mut words = Vec::new();
        words.extend(known.form.food.map(|l| format!("food {}", level(l))));
        words.extend(known.form.drink.map(|l| format!("drink {}", l.number())));
        words.extend(known.form.risks.iter().cloned());
        let by = if known.stated_by == food.id { String::new() } else { format!(" (as {})", known.stated_by) };
        writeln!(out, "  ordinarily: {}{by}", words.join(", "))?;
    }
    list(out, "traits", &food.traits)?;
    for listed in &food.listed_by {
        writeln!(out, "  allergen list: {listed}")?;
    }
    for (key, document) in &food.source {
        writeln!(out, "  source: {key}: {document}")?;
    }
    list(out, "note", &food.note.iter().cloned().collect::<Vec<_>>())?;
    writeln!(out)
}

/// A diet and its rules.
pub(crate) fn diet(out: &mut dyn Write, diet: &wire::DietAnswer) -> io::Result<()> {
    let bold = Style::new().bold();
    writeln!(out, "{bold}{}{bold:#} (diet)", diet.id)?;
    list(out, "names", &diet.names)?;
    writeln!(out, "  about: {}", diet.about)?;
    if !diet.judged {
        writeln!(out, "  not judged by this version: every tray is asked about")?;
    }
    for rule in &diet.rules {
        let looks: Vec<String> = rule.concepts.iter().chain(&rule.traits).cloned().collect();
        writeln!(out, "  {}: {} ({}){}", rule.action, rule.say, looks.join(", "), sources(&rule.source))?;
    }
    list(out, "source", &diet.source)?;
    writeln!(out)
}

/// Counts and remarks over the whole ontology.
pub(crate) fn census(out: &mut dyn Write, census: &Census) -> io::Result<()> {
    let counts = |map: &std::collections::BTreeMap<String, usize>| {
        map.iter().map(|(key, count)| format!("{key} {count}")).collect::<Vec<_>>().join(", ")
    };
    let all: usize = census.concepts.values().sum();
    writeln!(out, "concepts: {all} ({})", counts(&census.concepts))?;
    writeln!(out, "names: {} ({})", census.names.values().sum::<usize>(), counts(&census.names))?;
    writeln!(out, "edges: kinds_of {}, made_with {}", census.kinds_of, counts(&census.made_with))?;
    writeln!(out, "sources: every entry has one; {} of {all} name a document", census.with_document)?;
    writeln!(out, "forms: {} of {} served foods state one, the others inherit it", census.own_form, census.served)?;
    writeln!(out, "examples: {} must be read so, {} must not", census.matches, census.rejects)?;
    writeln!(out, "name collisions without a ruling: none, or this would not have loaded")?;
    for (concept, remark) in &census.remarks {
        writeln!(out, "  {concept}: {remark}")?;
    }
    Ok(())
}
