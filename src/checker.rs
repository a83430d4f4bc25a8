//! A [`Checker`]: an ontology made ready to judge.

use std::sync::Arc;

use crate::contents::{Contents, Presence};
use crate::error::InputError;
#[cfg(feature = "built-in")]
use crate::error::OntologyError;
use crate::judge::{self, Case};
use crate::ontology::{ConceptId, Ontology};
use crate::order::{CardLexicon, CardReading, Mode, Order, Prepared};
use crate::say;
use crate::tray::{Item, Tray, bounded};
use crate::verdict::{Action, Assumption, Finding, OntologyStamp, UnreadText, Verdict, fold};
use crate::{limits, order};

/// An ontology made ready to judge. Immutable; share it between threads.
///
/// Making one reads the whole ontology, some thousand times the work of a check: make one and keep it. Nothing is stored between calls.
#[derive(Debug, Clone)]
pub struct Checker {
    inner: Arc<Inner>,
}

#[derive(Debug)]
struct Inner {
    ontology: Ontology,
    card: CardLexicon,
}

impl Checker {
    /// A checker over the built-in ontology.
    ///
    /// # Errors
    /// Never for a released library: the tests load it.
    #[cfg(feature = "built-in")]
    pub fn built_in() -> Result<Self, OntologyError> {
        Ok(Self::new(Ontology::built_in()?))
    }

    /// A checker over the built-in ontology with a facility's overlay, as JSON text.
    ///
    /// # Errors
    /// Every problem of the overlay; see [`Ontology::built_in_with_overlay`].
    #[cfg(feature = "built-in")]
    pub fn with_overlay(overlay: &str) -> Result<Self, OntologyError> {
        Ok(Self::new(Ontology::built_in_with_overlay(overlay)?))
    }

    /// A checker over this ontology.
    #[must_use]
    pub fn new(ontology: Ontology) -> Self {
        let card = CardLexicon::new(&ontology, ontology.lexicon());
        Self { inner: Arc::new(Inner { ontology, card }) }
    }

    /// The ontology behind every answer.
    #[must_use]
    pub fn ontology(&self) -> &Ontology {
        &self.inner.ontology
    }

    /// Judges a tray against an order.
    ///
    /// # Errors
    /// Only when a text or list is past a bound of [`limits`](crate::limits); the error names it.
    ///
    /// # Examples
    /// ```
    /// use salver::{Action, Allergy, Checker, Item, Order, Tray};
    ///
    /// let checker = Checker::built_in()?;
    /// let order = Order { allergies: Some(vec![Allergy::to("sesame")]), ..Order::default() };
    /// let tray = Tray { items: vec![Item::named("falafel with tahini sauce")], ..Tray::default() };
    /// let verdict = checker.check(&order, &tray)?;
    /// assert_eq!(verdict.verdict, Action::Return);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn check(&self, order: &Order, tray: &Tray) -> Result<Verdict, InputError> {
        order.check()?;
        tray.check()?;
        let Inner { ontology, card } = &*self.inner;
        let foods = ontology.lexicon();
        let prepared = Prepared::new(ontology, foods, card, order);
        let contents: Vec<Contents> = tray.items.iter().map(|item| Contents::of(ontology, foods, item)).collect();
        let case = Case { ontology, order, prepared: &prepared, tray, contents: &contents };
        let findings = judge::judge(&case);
        let action = fold(&findings);
        let takes_only = takes_only(action, &findings, tray, &contents);
        Ok(Verdict {
            verdict: action,
            unread: unread(ontology, &contents),
            assumptions: assumptions(&case),
            say: say::verdict(action, &findings, tray, takes_only),
            findings,
            caution: say::CAUTION.to_owned(),
            ontology: OntologyStamp {
                version: ontology.version().to_owned(),
                digest: ontology.digest().to_owned(),
                overlay: ontology.overlay().map(str::to_owned),
            },
        })
    }

    /// What an item holds.
    ///
    /// # Errors
    /// When one of its texts is past a bound of [`limits`](crate::limits).
    pub fn read(&self, item: &Item) -> Result<Contents, InputError> {
        item.check("item")?;
        Ok(Contents::of(&self.inner.ontology, self.inner.ontology.lexicon(), item))
    }

    /// What a diet card orders.
    ///
    /// # Errors
    /// When the text is longer than [`limits::CARD_BYTES`].
    pub fn card(&self, text: &str) -> Result<CardReading, InputError> {
        bounded("text", text, limits::CARD_BYTES)?;
        let Inner { ontology, card } = &*self.inner;
        let foods = ontology.lexicon();
        Ok(order::read_card(ontology, foods, card, text, Mode::Open))
    }
}

fn unread(ontology: &Ontology, contents: &[Contents]) -> Vec<UnreadText> {
    let of_item = |(item, c): (usize, &Contents)| {
        c.unread()
            .map(move |(field, u)| UnreadText {
                item,
                field,
                text: u.text.clone(),
                span: u.span,
                read_as: ontology.ids_of(&u.read_as),
            })
            .collect::<Vec<_>>()
    };
    contents.iter().enumerate().flat_map(of_item).collect()
}

fn assumptions(case: &Case<'_>) -> Vec<Assumption> {
    let mut said: Vec<Assumption> =
        say::order_assumptions(case.prepared).into_iter().map(|say| Assumption { item: None, say }).collect();
    for (what, order, tray) in
        [("resident", &case.order.resident, &case.tray.resident), ("meal", &case.order.meal, &case.tray.meal)]
    {
        if order.is_some() != tray.is_some() {
            said.push(Assumption { item: None, say: say::not_compared(what) });
        }
    }
    if case.tray.items.is_empty() {
        said.push(Assumption { item: None, say: say::empty_tray() });
    }
    for (n, item, contents) in case.items() {
        let mut add = |say| said.push(Assumption { item: Some(n), say });
        if contents.empty_label() {
            add(say::label_assumption(&item.name));
        }
        if contents.plain() && case.prepared.restricts() {
            add(say::plain_assumption(&item.name));
        }
        for (concept, reason) in contents.overrides_used(case.ontology) {
            add(say::override_used(&item.name, case.ontology.title(concept), reason));
        }
        let excluded: Vec<ConceptId> = case.prepared.exclusions.iter().map(|e| e.concept).collect();
        for say in contents.taken_as(case.ontology, &excluded) {
            add(say.to_owned());
        }
        for exclusion in &case.prepared.exclusions {
            let free = contents.presence(case.ontology, exclusion.concept) == Presence::Free;
            if let (true, false, Some((_, claim))) =
                (free, contents.labelled(), contents.freed_by(case.ontology, exclusion.concept))
            {
                add(say::claim_assumption(&item.name, &crate::read::claim_name(case.ontology, claim)));
            }
        }
    }
    said
}

/// What taking the sealed items off leaves the tray without: its only drink or its only food.
fn takes_only(action: Action, findings: &[Finding], tray: &Tray, contents: &[Contents]) -> Option<&'static str> {
    if action != Action::Remove {
        return None;
    }
    let removed = |n: usize| findings.iter().any(|f| f.item == Some(n) && f.action == Action::Remove);
    let is_drink = |c: &Contents| c.form().food().is_none() && c.form().drink().is_some();
    let is_food = |c: &Contents| c.form().food().is_some();
    let mut items = (0..tray.items.len()).zip(contents);
    let only = |is: &dyn Fn(&Contents) -> bool| {
        let mut all = (0..tray.items.len()).zip(contents).filter(|(_, c)| is(c)).peekable();
        all.peek().is_some() && all.all(|(n, _)| removed(n))
    };
    let any_left = items.any(|(n, _)| !removed(n));
    if only(&is_drink) {
        Some("drink")
    } else if only(&is_food) || !any_left {
        Some("food")
    } else {
        None
    }
}
