//! The only place that writes sentences for people: short, in the words of the tray line.

use crate::contents::{MayReason, Presence};
use crate::ontology::{ConceptId, Ontology};
use crate::order::{AskFor, Prepared};
use crate::read::Field;
use crate::tray::Tray;
use crate::verdict::{Action, Finding, Rule};

/// Said with every verdict.
pub(crate) const CAUTION: &str = "This check supports trained staff and does not replace them. It judges words, not the food: \
the label, the recipe actually cooked, facility policy, local codes and licensed staff decide. Texture and liquid levels are what is \
ordinarily served; test the actual food at serving temperature.";

/// How many remedies a sentence names; the finding lists them all.
const REMEDIES: usize = 2;

/// The item's name as it may stand in a sentence: trimmed, and not too long to read.
fn name(item: &str) -> String {
    let text = item.split_whitespace().collect::<Vec<_>>().join(" ");
    if text.chars().count() <= 60 {
        return text;
    }
    text.chars().take(57).chain("...".chars()).collect()
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map(|first| first.to_uppercase().chain(chars).collect()).unwrap_or_default()
}

/// An item and an excluded food, with the words that bring it in: a part of the name speaks for itself
/// ("Tahini sauce contains sesame"), words of the label stand behind the item ("Sausage contains milk: whey powder").
pub(crate) fn presence(item: &str, words: Option<(Field, &str)>, food: &str, presence: Presence) -> String {
    let (subject, label) = match words {
        Some((Field::Name, words)) => (capital(&name(words)), String::new()),
        Some((_, words)) => (capital(&name(item)), format!(" (\"{}\")", name(words))),
        None => (capital(&name(item)), String::new()),
    };
    match presence {
        Presence::Contains => format!("{subject} contains {food}{label}."),
        Presence::May(MayReason::Precaution) => {
            format!("{subject}: the label warns of {food}{label}.")
        }
        Presence::May(MayReason::RecipesDiffer) => {
            format!("{subject} may contain {food}{label}: recipes differ.")
        }
        Presence::May(MayReason::TooGeneral) => {
            format!("{subject} may contain {food}{label}: the name is too general.")
        }
        Presence::May(MayReason::Choice) => {
            format!("{subject} may contain {food}{label}: the text leaves a choice.")
        }
        Presence::May(MayReason::Alluded) => {
            format!("{subject} may contain {food}{label}: it is named as a flavour or style.")
        }
        Presence::May(MayReason::Unlisted) => {
            format!("{subject} may contain {food}{label}: the name says so, and the ingredient list does not.")
        }
        Presence::May(MayReason::Spelling) => format!("{subject} may be meant as {food}{label}: a misspelling."),
        Presence::May(MayReason::Claim) => {
            format!("{subject} may contain {food}{label}: its claim does not rule it out.")
        }
        Presence::Unknown => {
            format!("{subject} could contain {food}: not all of its text was understood.")
        }
        Presence::Free => format!("{subject}: nothing shows {food}."),
    }
}

/// An item with a relative of the excluded food.
pub(crate) fn sibling(item: &str, found: &str, excluded: &str) -> String {
    format!("{} contains {found}; ask whether someone who must not have {excluded} may have it.", capital(&name(item)))
}

/// A claim alone against a severe allergy.
pub(crate) fn only_a_claim(item: &str, claim: &str, food: &str) -> String {
    let item = capital(&name(item));
    format!("{item}: only the words \"{claim}\" speak against {food}, and the allergy is severe. Check the label.")
}

/// A claim against the item's own words.
pub(crate) fn contradiction(item: &str, claim: &str, food: &str) -> String {
    format!("{} says \"{claim}\" and names {food}. Check the label.", capital(&name(item)))
}

/// Too firm, or with a characteristic that the level excludes.
pub(crate) fn texture(item: &str, needs: Option<&str>, ordered: &str, why: &[String], tested: bool) -> String {
    let item = capital(&name(item));
    let how = if tested { "by its tests" } else { "ordinarily" };
    let level = needs.map(|n| format!(" is {how} {n};")).unwrap_or_else(|| ":".to_owned());
    let why = if why.is_empty() { String::new() } else { format!(" ({})", why.join(", ")) };
    format!("{item}{level} ordered is {ordered}{why}.")
}

/// A characteristic that staff must rule on.
pub(crate) fn texture_question(item: &str, ordered: &str, why: &str) -> String {
    format!("{}: {why}; ask whether it is cleared for {ordered}.", capital(&name(item)))
}

/// A food that may be there in pieces.
pub(crate) fn pieces(item: &str, food: &str, ordered: &str) -> String {
    format!("{} may hold pieces of {food}; ordered is {ordered}. Check it.", capital(&name(item)))
}

/// An item whose form is not known.
pub(crate) fn form_unknown(item: &str, ordered: &str) -> String {
    format!("{}: its texture is not known from its name; ordered is {ordered}. Test it.", capital(&name(item)))
}

/// Thinner than ordered.
pub(crate) fn too_thin(item: &str, level: &str, ordered: &str, melts: bool, tested: bool) -> String {
    let item = capital(&name(item));
    let how = match (tested, melts) {
        (true, _) => "is by its tests",
        (false, true) => "gives off or melts to",
        (false, false) => "is ordinarily",
    };
    format!("{item} {how} {level}; ordered is {ordered}.")
}

/// Thicker than ordered.
pub(crate) fn too_thick(item: &str, level: &str, ordered: &str) -> String {
    format!("{} is {level}, thicker than the ordered {ordered}. Ask first.", capital(&name(item)))
}

/// A medicine that undoes a thickener.
pub(crate) fn thickener_caution(words: &str, why: &str) -> String {
    format!("The order names \"{}\" beside thickened drinks: {why}.", name(words))
}

/// Plain water where only the free water protocol speaks for it.
pub(crate) fn free_water(item: &str, why: &str) -> String {
    format!("{}: {why}.", capital(&name(item)))
}

/// Test results that leave two levels open.
pub(crate) fn between(item: &str, from: &str, to: &str, ordered: &str) -> String {
    let item = capital(&name(item));
    format!("{item}: its test results lie between {from} and {to}; ordered is {ordered}. Test again and ask.")
}

/// What the kitchen could do.
pub(crate) fn remedies(ontology: &Ontology, ways: &[Vec<ConceptId>]) -> String {
    let way = |way: &Vec<ConceptId>| way.iter().map(|id| ontology.title(*id)).collect::<Vec<_>>().join(", ");
    let words: Vec<String> = ways.iter().take(REMEDIES).map(way).collect();
    if words.is_empty() {
        return String::new();
    }
    format!(" It could fit {}: ask the kitchen, and test it.", words.join("; or "))
}

/// A liquid that is not known.
pub(crate) fn liquid_unknown(item: &str, ordered: &str) -> String {
    format!("{}: not known whether it is or gives off liquid; ordered is {ordered}.", capital(&name(item)))
}

/// A diet rule that an item meets.
pub(crate) fn diet(item: &str, rule: &str, presence: Presence) -> String {
    let item = capital(&name(item));
    match presence {
        Presence::Contains => format!("{item}: {rule}."),
        _ => format!("{item} may be this, check: {rule}."),
    }
}

/// An item that a diet cannot judge.
pub(crate) fn diet_unknown(item: &str, diet: &str) -> String {
    format!("{}: not all of its text was understood; the order is {diet}.", capital(&name(item)))
}

/// A diet whose rules are not written yet.
pub(crate) fn diet_not_judged(diet: &str) -> String {
    format!("The order \"{diet}\" is known and not judged by this version. Check the tray against the diet manual.")
}

/// A fluid limit and a drink.
pub(crate) fn fluid_limit(item: &str, ml: u32) -> String {
    format!("{} counts as fluid; the limit is {ml} mL a day. Check what is left of it.", capital(&name(item)))
}

/// Nothing by mouth.
pub(crate) fn nothing_by_mouth() -> String {
    "Nothing by mouth is ordered.".to_owned()
}

/// Wrong resident or meal.
pub(crate) fn wrong(what: &str) -> String {
    format!("This tray is marked for another {what}.")
}

/// A question that the order raises.
pub(crate) fn order_question(ask: &AskFor) -> String {
    match ask {
        AskFor::Missing => "The order states nothing: no allergy statement, diet, level or text.".to_owned(),
        AskFor::Unclear { text, why, .. } => format!("The order says \"{}\": {why}.", name(text)),
        AskFor::Disagreement { first, second, about } => {
            format!(
                "The order disagrees with itself about {about}: {} and {}. The stricter one holds.",
                name(first),
                name(second)
            )
        }
    }
}

/// The verdict in words that can be acted on in five seconds.
pub(crate) fn verdict(action: Action, findings: &[Finding], tray: &Tray, takes_only: Option<&str>) -> String {
    let first =
        |wanted: Action| findings.iter().find(|f| f.action == wanted).map(|f| f.say.as_str()).unwrap_or_default();
    match action {
        Action::Serve => "Nothing found against this tray.".to_owned(),
        Action::Remove => {
            let items = removed(findings, tray);
            let replace = takes_only
                .map(|what| format!(" This takes the only {what}: ask for a replacement."))
                .unwrap_or_default();
            format!("Take off: {items}. Then serve. {}{replace}", first(Action::Remove))
        }
        Action::Ask => {
            let questions = findings.iter().filter(|f| f.action == Action::Ask).count();
            let more = if questions > 1 { format!(" ({} more to ask.)", questions - 1) } else { String::new() };
            format!("Stop and ask the nurse, dietitian or kitchen. {}{more}", first(Action::Ask))
        }
        Action::Return if findings.iter().any(|f| f.rule == Rule::Identity) => {
            format!("Wrong tray. Send it back. {}", first(Action::Return))
        }
        Action::Return => format!("Send this tray back; take nothing off it. {}", first(Action::Return)),
    }
}

/// The items to take off, once each.
fn removed(findings: &[Finding], tray: &Tray) -> String {
    let mut items: Vec<usize> = findings.iter().filter(|f| f.action == Action::Remove).filter_map(|f| f.item).collect();
    items.dedup();
    let names: Vec<String> = items.iter().filter_map(|n| tray.items.get(*n)).map(|item| name(&item.name)).collect();
    names.join(", ")
}

/// What the order leads to assume or repeat.
pub(crate) fn order_assumptions(prepared: &Prepared) -> Vec<String> {
    let mut said = Vec::new();
    if !prepared.allergies_stated {
        said.push("allergies are not stated in the order".to_owned());
    }
    said.extend(prepared.notes_to_confirm.iter().cloned());
    said.extend(prepared.remarks.iter().cloned());
    let list = |words: &[String]| words.iter().map(|w| format!("\"{w}\"")).collect::<Vec<_>>().join(", ");
    for (words, what) in [
        (&prepared.drugs, "taken for drugs and not judged against food"),
        (&prepared.denied, "denied on the card and not judged"),
        (&prepared.preferences, "preferences, never a conflict"),
        (&prepared.precautions, "for the bedside"),
    ] {
        if !words.is_empty() {
            said.push(format!("{}: {what}", list(words)));
        }
    }
    said
}

/// What an item leads to assume.
pub(crate) fn plain_assumption(item: &str) -> String {
    format!("{} is taken as having nothing added", name(item))
}

/// A claim taken at its word.
pub(crate) fn claim_assumption(item: &str, claim: &str) -> String {
    format!("{}: the claim {claim} is taken at its word, without an ingredient list", name(item))
}

/// No label where one should be.
pub(crate) fn label_assumption(item: &str) -> String {
    format!("{}: its ingredient statement says nothing; judged by its name", name(item))
}

/// A house rule that makes the base looser.
pub(crate) fn override_used(item: &str, food: &str, reason: &str) -> String {
    format!("{}: a house override for {food} was used: {reason}", name(item))
}

/// A tray without items.
pub(crate) fn empty_tray() -> String {
    "no items are listed on the tray".to_owned()
}

/// Who the tray is for could not be compared.
pub(crate) fn not_compared(what: &str) -> String {
    format!("the {what} is not stated on both order and tray, and was not compared")
}
