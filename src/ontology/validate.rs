//! What is wrong with an ontology, all of it at once, with file, entry and remedy.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use super::load::{Parsed, problem};
use super::model::{ConceptId, Ontology};
use super::schema::{Kind, RawConcept};
use crate::error::OntologyProblem;

struct Known<'a> {
    by_id: &'a HashMap<String, ConceptId>,
    sources: BTreeSet<&'a str>,
    traits: BTreeSet<&'a str>,
    risks: BTreeSet<&'a str>,
}

/// Checks ids, references, sources, forms and cycles.
pub(crate) fn raw(parsed: &Parsed, by_id: &HashMap<String, ConceptId>, problems: &mut Vec<OntologyProblem>) {
    let known = Known {
        by_id,
        sources: parsed.sources.keys().map(String::as_str).collect(),
        traits: parsed.traits.iter().flat_map(|f| &f.traits).map(|t| t.id.as_str()).collect(),
        risks: parsed.iddsi.iter().flat_map(|f| &f.risks).map(|r| r.id.as_str()).collect(),
    };
    let mut first_file: BTreeMap<&str, &str> = BTreeMap::new();
    for entry in &parsed.entries {
        if let Some(other) = first_file.insert(&entry.raw.id, &entry.file) {
            let what = format!("duplicate id, also in {other}");
            problems.push(problem(&entry.file, &entry.raw.id, what, "an id belongs to one concept; rename or merge"));
        }
        concept(&entry.file, &entry.raw, &known, problems);
    }
    cycles(parsed, by_id, problems);
    unreachable(parsed, problems);
    forms(parsed, by_id, problems);
    other_files(parsed, &known, problems);
}

fn is_id(text: &str) -> bool {
    !text.is_empty()
        && text
            .split('-')
            .all(|part| !part.is_empty() && part.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit()))
}

fn references<'a>(raw: &'a RawConcept) -> impl Iterator<Item = &'a String> + 'a {
    let (made, stated) = (&raw.made_with, &raw.in_statements);
    raw.kinds_of
        .iter()
        .chain(&made.always)
        .chain(&made.often)
        .chain(&made.sometimes)
        .chain(&made.never)
        .chain(&stated.always)
        .chain(&stated.often)
        .chain(&stated.sometimes)
        .chain(&raw.may_hide)
        .chain(&raw.free_of)
}

fn concept(file: &str, raw: &RawConcept, known: &Known<'_>, problems: &mut Vec<OntologyProblem>) {
    let mut add = |what: String, remedy: &str| problems.push(problem(file, &raw.id, what, remedy));
    if !is_id(&raw.id) {
        add("the id is not lower-case kebab-case ASCII".into(), "use a-z, 0-9 and single hyphens");
    }
    for target in references(raw) {
        if !known.by_id.contains_key(target) {
            add(format!("dangling id `{target}`"), "add that concept or correct the id");
        }
    }
    let made = &raw.made_with;
    let mut seen = BTreeSet::new();
    for target in made.always.iter().chain(&made.often).chain(&made.sometimes).chain(&made.never) {
        if !seen.insert(target) {
            add(format!("`{target}` stands twice in made_with"), "keep one strength");
        }
    }
    let stated = &raw.in_statements;
    if !stated.never.is_empty() {
        add("`never` in in_statements".into(), "a word in a statement brings less, never nothing: use `sometimes`");
    }
    let mut seen = BTreeSet::new();
    for target in stated.always.iter().chain(&stated.often).chain(&stated.sometimes) {
        if !seen.insert(target) {
            add(format!("`{target}` stands twice in in_statements"), "keep one strength");
        }
    }
    for id in &raw.traits {
        if !known.traits.contains(id.as_str()) {
            add(format!("unknown trait `{id}`"), "use an id of traits.json");
        }
    }
    let effect_risks = raw.effect.iter().flat_map(|e| e.clears.iter().chain(&e.adds));
    for risk in raw.form.iter().flat_map(|f| &f.risks).chain(effect_risks) {
        if !known.risks.contains(risk.as_str()) {
            add(format!("unknown risk `{risk}`"), "use an id of iddsi.json");
        }
    }
    if raw.form.as_ref().is_some_and(|f| f.food.is_none() && f.drink.is_none()) {
        add("a form without food and drink".into(), "state at least one of the two levels");
    }
    if (raw.kind == Kind::Preparation) != raw.effect.is_some() {
        add("`effect` belongs to preparations, and each has one".into(), "add or remove `effect`");
    }
    if raw.source.is_empty() {
        add("no source".into(), "name a key of SOURCES.md, COMMON or MEMORY");
    }
    for key in &raw.source {
        if !known.sources.contains(key.as_str()) {
            add(format!("unknown source `{key}`"), "add the key to SOURCES.md or correct it");
        }
    }
}

fn cycles(parsed: &Parsed, by_id: &HashMap<String, ConceptId>, problems: &mut Vec<OntologyProblem>) {
    let entry = |id: ConceptId| parsed.entries.get(id.0 as usize);
    let mut finished: BTreeSet<ConceptId> = BTreeSet::new();
    for (n, start) in (0..).zip(&parsed.entries) {
        let mut stack = vec![(ConceptId(n), false)];
        let mut open: BTreeSet<ConceptId> = BTreeSet::new();
        while let Some((id, leaving)) = stack.pop() {
            if leaving {
                open.remove(&id);
                finished.insert(id);
                continue;
            }
            if finished.contains(&id) {
                continue;
            }
            if !open.insert(id) {
                let at = entry(id).unwrap_or(start);
                problems.push(problem(&at.file, &at.raw.id, "is a kind of itself", "break the cycle in kinds_of"));
                return;
            }
            stack.push((id, true));
            let parents = entry(id).into_iter().flat_map(|e| &e.raw.kinds_of).filter_map(|p| by_id.get(p));
            stack.extend(parents.map(|p| (*p, false)));
        }
    }
}

fn unreachable(parsed: &Parsed, problems: &mut Vec<OntologyProblem>) {
    let referred: BTreeSet<&String> = parsed.entries.iter().flat_map(|e| references(&e.raw)).collect();
    for entry in &parsed.entries {
        if entry.raw.names.is_empty() && entry.raw.names_in.is_empty() && !referred.contains(&entry.raw.id) {
            problems.push(problem(
                &entry.file,
                &entry.raw.id,
                "unreachable: no name and nothing refers to it",
                "give it a name or remove it",
            ));
        }
    }
}

/// Every served concept states a form or inherits one.
fn forms(parsed: &Parsed, by_id: &HashMap<String, ConceptId>, problems: &mut Vec<OntologyProblem>) {
    for entry in parsed.entries.iter().filter(|e| e.raw.kind == Kind::Food) {
        let mut seen = BTreeSet::new();
        let mut level = vec![&entry.raw];
        let mut found = false;
        while let Some(raw) = level.pop() {
            if raw.form.is_some() {
                found = true;
                break;
            }
            let parents =
                raw.kinds_of.iter().filter_map(|p| by_id.get(p)).filter_map(|id| parsed.entries.get(id.0 as usize));
            level.extend(parents.map(|e| &e.raw).filter(|r| seen.insert(&r.id)));
        }
        if !found {
            problems.push(problem(
                &entry.file,
                &entry.raw.id,
                "a served food without a form of its own or inherited",
                "state `form`, or `\"kind\": \"ingredient\"`",
            ));
        }
    }
}

/// References and sources of the files that are not concepts.
fn other_files(parsed: &Parsed, known: &Known<'_>, problems: &mut Vec<OntologyProblem>) {
    let mut check = |file: &str, entry: &str, ids: &[String], sources: &[String], needs_source: bool| {
        for id in ids.iter().filter(|id| !known.by_id.contains_key(*id)) {
            problems.push(problem(file, entry, format!("dangling id `{id}`"), "add that concept or correct the id"));
        }
        for key in sources.iter().filter(|key| !known.sources.contains(key.as_str())) {
            problems.push(problem(
                file,
                entry,
                format!("unknown source `{key}`"),
                "add the key to SOURCES.md or correct it",
            ));
        }
        if needs_source && sources.is_empty() {
            problems.push(problem(file, entry, "no source", "name a key of SOURCES.md, COMMON or MEMORY"));
        }
    };
    if let Some(claims) = &parsed.claims {
        for claim in &claims.named {
            check("claims.json", &claim.id, &claim.frees, &claim.source, true);
            check("claims.json", &claim.id, &claim.softens, &[], false);
        }
        check("claims.json", "substitutes", &claims.substitutes, &[], false);
        check("claims.json", "substitute_words", &claims.substitute_words, &[], false);
        for (class, stand_in) in &claims.stand_ins {
            check("claims.json", "stand_ins", &[class.clone(), stand_in.clone()], &[], false);
        }
        for (family, softened) in &claims.softens_with {
            check("claims.json", family, softened, &claims.source, true);
        }
    }
    if let Some(allergens) = &parsed.allergens {
        check("allergens.json", "reported", &allergens.reported, &[], false);
        for group in &allergens.cross_reactive {
            let parent: Vec<String> = group.kinds_of.iter().cloned().collect();
            check("allergens.json", "cross_reactive", &group.members, &group.source, true);
            check("allergens.json", "cross_reactive", &parent, &[], false);
        }
        for group in &allergens.order_groups {
            check("allergens.json", &group.id, &group.excludes, &group.source, true);
            check("allergens.json", &group.id, &group.asks, &[], false);
        }
        for taken in &allergens.taken_as {
            check("allergens.json", "taken_as", &taken.foods, &taken.source, true);
            check("allergens.json", "taken_as", &taken.free_of, &[], false);
        }
        for list in &allergens.lists {
            check("allergens.json", &list.id, &list.mandatory, &list.source, true);
            check("allergens.json", &list.id, &list.recommended, &[], false);
            for exemption in &list.exempt {
                check("allergens.json", &list.id, &exemption.foods, &[], false);
                check("allergens.json", &list.id, &exemption.free_of, &[], false);
            }
        }
    }
    if let Some(iddsi) = &parsed.iddsi {
        check("iddsi.json", "bite_size", &[], &iddsi.bite_size.source, true);
        check("iddsi.json", "thin_up_to", &[], &iddsi.thin_up_to.source, true);
        for risk in &iddsi.risks {
            check("iddsi.json", &risk.id, &[], &risk.source, true);
        }
        for term in &iddsi.terms {
            let name = term.names.first().map_or("-", String::as_str);
            check("iddsi.json", name, &[], &term.source, true);
        }
        for level in &iddsi.food_levels {
            check("iddsi.json", &level.name, &[], &level.source, true);
        }
        for level in &iddsi.drink_levels {
            check("iddsi.json", &level.name, &[], &level.source, true);
        }
        for caution in &iddsi.thickener_cautions {
            check("iddsi.json", "thickener_cautions", &[], &caution.source, true);
        }
        let water = &iddsi.free_water;
        check("iddsi.json", "free_water", std::slice::from_ref(&water.concept), &water.source, true);
        let tests = &iddsi.tests;
        let sources = tests.flow.iter().map(|t| &t.source);
        let sources = sources.chain(tests.drink.iter().map(|t| &t.source)).chain(tests.food.iter().map(|t| &t.source));
        for source in sources.chain([&tests.transitional.source, &tests.source]) {
            check("iddsi.json", "tests", &[], source, true);
        }
    }
    for named in parsed.traits.iter().flat_map(|f| &f.traits) {
        check("traits.json", &named.id, &[], &named.source, true);
    }
    for word in parsed.card.iter().flat_map(|f| &f.ambiguous) {
        check("card.json", &word.text, &[], &word.source, true);
    }
    for (file, diet) in &parsed.diets {
        check(file, &diet.id, &[], &diet.source, true);
        for rule in &diet.rules {
            check(file, &diet.id, &rule.concepts, &rule.source, true);
            check(file, &diet.id, &rule.unless, &[], false);
        }
    }
    diet_traits(parsed, known, problems);
    iddsi_tests(parsed, known, problems);
}

/// Risks that tests clear exist, levels stand in order, and remedies are preparations.
fn iddsi_tests(parsed: &Parsed, known: &Known<'_>, problems: &mut Vec<OntologyProblem>) {
    let Some(iddsi) = &parsed.iddsi else { return };
    let mut add = |entry: &str, what: String, remedy: &str| problems.push(problem("iddsi.json", entry, what, remedy));
    let clears = &iddsi.tests.clears;
    let cleared = [&clears.fork_pressure, &clears.spoon_tilt, &clears.no_lumps, &clears.sizes];
    for risk in cleared.into_iter().chain([&iddsi.tests.transitional.clears]).flatten() {
        if !known.risks.contains(risk.as_str()) {
            add("tests", format!("unknown risk `{risk}`"), "use an id of `risks`");
        }
    }
    if !iddsi.tests.flow.is_sorted_by_key(|r| r.below_ml) || !iddsi.tests.food.is_sorted_by_key(|t| t.level) {
        add("tests", "levels out of order".to_owned(), "thinnest drink and least demanding food first");
    }
    for risk in iddsi.risks.iter().filter(|r| !r.cleared_by.is_empty() && r.ask.is_empty()) {
        add(
            &risk.id,
            "`cleared_by` on a risk that is never asked about".to_owned(),
            "remove it: only a question can be cleared",
        );
    }
    let preparation = |id: &String| parsed.entries.iter().any(|e| e.raw.id == *id && e.raw.kind == Kind::Preparation);
    let changes = iddsi.remedies.changes.iter().map(|change| &change.preparation);
    for id in iddsi.remedies.trims.iter().chain(changes).filter(|id| !preparation(id)) {
        add("remedies", format!("`{id}` is no preparation"), "use an id of preparations.json");
    }
}

fn diet_traits(parsed: &Parsed, known: &Known<'_>, problems: &mut Vec<OntologyProblem>) {
    for (file, diet) in &parsed.diets {
        for id in diet.rules.iter().flat_map(|r| &r.traits).filter(|t| !known.traits.contains(t.as_str())) {
            problems.push(problem(file, &diet.id, format!("unknown trait `{id}`"), "use an id of traits.json"));
        }
        if diet.judged && diet.rules.is_empty() && !diet.nothing_by_mouth {
            problems.push(problem(
                file,
                &diet.id,
                "judged, and without a rule",
                "write rules or set `judged` to false",
            ));
        }
    }
}

/// Names that two concepts claim once plurals, case and accents are folded.
pub(crate) fn names(ontology: &Ontology, problems: &mut Vec<OntologyProblem>) {
    for (name, ids) in ontology.lexicon().collisions() {
        let claimed: Vec<&str> = ids.iter().map(|id| ontology.concept(*id).id()).collect();
        for id in &ids {
            let concept = ontology.concept(*id);
            let what = format!("the name `{name}` is claimed by {}", claimed.join(", "));
            problems.push(problem(
                concept.file(),
                concept.id(),
                what,
                "a name belongs to one concept: keep it where a reader expects it",
            ));
        }
    }
}
