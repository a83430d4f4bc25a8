//! What a text says: which foods, claims and preparations it names, and what in it was not understood.

mod hollow;
mod label;
mod lexicon;
mod normalize;
mod spelling;
mod trade;
mod unicode;

use std::collections::BTreeSet;

use serde::Serialize;

use crate::ontology::{ConceptId, Ontology};
use crate::tested::Measure;

pub(crate) use label::read;
pub(crate) use lexicon::{Lexicon, Trie, Words, cut, index, phrase_word};
pub(crate) use normalize::{Span, Token, TokenKind, decimal};
pub(crate) use unicode::{Marks, Tables, Unicode};

/// Which text of an item or order a span points into.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Field {
    /// The item's name.
    Name,
    /// The item's ingredient statement.
    Ingredients,
}

/// A food that a text names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Mention {
    /// What it was read as.
    pub(crate) concept: ConceptId,
    /// The bytes that name it.
    pub(crate) span: (usize, usize),
    /// The part of the text it stands in, counted from 0: parts are cut at commas, brackets, "with", "and".
    pub(crate) part: usize,
    /// It stands under a precautionary statement ("may contain").
    pub(crate) precaution: bool,
    /// It is only alluded to ("strawberry flavoured").
    pub(crate) alluded: bool,
    /// It is a guess at a misspelt word, which itself stays unread.
    pub(crate) guessed: bool,
    /// "no nuts except almonds": it was taken out of a denial.
    pub(crate) excepted: bool,
    /// The text says that it may be left out: "butter (optional)".
    pub(crate) optional: bool,
    /// It is one of several that stand for each other ("butter or margarine"): the number of that choice.
    pub(crate) choice: Option<usize>,
    /// An ingredient list in brackets follows it, which replaces its ordinary recipe.
    pub(crate) listed: bool,
    /// One food in brackets follows it and says what it is made from: "lecithin (sunflower)".
    pub(crate) explained: bool,
    /// Another mention of the text says more exactly what this one is or how much of it there is.
    pub(crate) restated: bool,
    /// It stands in brackets behind this mention of the same text.
    pub(crate) within: Option<usize>,
}

impl Mention {
    /// Whether its name holds these words and more.
    pub(crate) fn covers(&self, span: (usize, usize)) -> bool {
        self.span != span && self.span.0 <= span.0 && span.1 <= self.span.1
    }

    /// A food that is simply named.
    pub(crate) fn plain(concept: ConceptId, span: (usize, usize), part: usize) -> Self {
        Self {
            concept,
            span,
            part,
            precaution: false,
            alluded: false,
            guessed: false,
            excepted: false,
            optional: false,
            choice: None,
            listed: false,
            explained: false,
            restated: false,
            within: None,
        }
    }
}

/// A cooking or serving word.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct PreparationMention {
    /// What it was read as.
    pub(crate) concept: ConceptId,
    /// The bytes that name it.
    pub(crate) span: (usize, usize),
    /// The part of the text it changes.
    pub(crate) part: usize,
    /// The text says it without "not", "half" or "on request".
    pub(crate) holds: bool,
}

/// What a claim takes away.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Denied {
    /// A food: "egg-free", "no cheese".
    Concept {
        /// What is denied.
        concept: ConceptId,
        /// "X-free" promises a food made without X, not that nothing like X is in it;
        /// "no X" says that the component was left out.
        left_out: bool,
    },
    /// A claim with a name of its own, by its place in `claims.json`: "vegan".
    Named(usize),
}

/// A claim that a text makes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Claim {
    /// What it takes away.
    pub(crate) denied: Denied,
    /// The bytes that make it.
    pub(crate) span: (usize, usize),
    /// The part of the text it belongs to.
    pub(crate) part: usize,
    /// The bytes of the denied food's own words: "egg" in "egg-free".
    pub(crate) food: Option<(usize, usize)>,
    /// It stands alone in its part, so it is about everything: "pancakes with syrup, egg-free".
    pub(crate) whole: bool,
}

/// A stretch of text that was not understood.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unread {
    /// The words as written.
    pub text: String,
    /// Their bytes in the text.
    pub span: (usize, usize),
    /// Foods that a misspelling may have been meant as; they add hazard and never take the question away.
    pub read_as: Vec<ConceptId>,
    /// It stands where a maker's name stands ("Zorble's granola"): only the label says what is in the food.
    pub trade_name: bool,
}

/// Everything read from one text.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Reading {
    /// Foods, in text order.
    pub(crate) mentions: Vec<Mention>,
    /// Cooking and serving words, in text order.
    pub(crate) preparations: Vec<PreparationMention>,
    /// Claims, in text order.
    pub(crate) claims: Vec<Claim>,
    /// What was not understood, in text order.
    pub(crate) unread: Vec<Unread>,
    /// Parts in which what is said of the food may not hold: "half pureed", "mildly thick on request".
    pub(crate) unsure: BTreeSet<usize>,
    /// Stated sizes of pieces, each with its part: "diced 10 mm".
    pub(crate) sizes: Vec<(usize, Measure)>,
    /// "see carton" and the like stand where a label should.
    pub(crate) no_label: bool,
}

impl Reading {
    /// Nothing but one food: it says what the item is.
    pub(crate) fn names_one_food(&self) -> bool {
        let foods = self.mentions.iter().filter(|m| !m.guessed && !m.explained).count();
        foods == 1 && self.unread.is_empty()
    }
}

/// The id of what a claim denies, as the exchange format shows it: `egg-free`, `vegan`.
pub(crate) fn claim_name(ontology: &Ontology, claim: &Claim) -> String {
    match claim.denied {
        Denied::Concept { concept, .. } => format!("{}-free", ontology.concept(concept).id()),
        Denied::Named(n) => ontology.claims.named.get(n).map(|c| c.id.clone()).unwrap_or_default(),
    }
}
