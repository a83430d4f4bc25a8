//! Findings folded into a verdict: the worst one wins, and every one is kept.

use serde::{Deserialize, Serialize};

use crate::contents::Presence;
use crate::evidence::Step;
use crate::read::Field;

/// What to do with the tray. Ordered: a later one is worse.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Action {
    /// Nothing was found against it.
    Serve,
    /// Take the named sealed items off, then serve.
    Remove,
    /// Stop: the nurse, dietitian or kitchen must answer first.
    Ask,
    /// Send the whole tray back.
    Return,
}

impl Action {
    /// The word of the exchange format.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Serve => "serve",
            Self::Remove => "remove",
            Self::Ask => "ask",
            Self::Return => "return",
        }
    }
}

/// The kind of rule that a finding comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Rule {
    /// Wrong resident or wrong meal.
    Identity,
    /// The order itself: missing, unclear, contradictory, nothing by mouth.
    Order,
    /// An allergy, or an exclusion without a reason.
    Allergy,
    /// An intolerance.
    Intolerance,
    /// IDDSI food level.
    Texture,
    /// IDDSI liquid level.
    Liquid,
    /// A diet.
    Diet,
    /// Serving temperature.
    Temperature,
}

/// One thing found, with its grounds.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// The item, counted from 0; `None` for the order or the tray as a whole.
    pub item: Option<usize>,
    /// The rule it comes from.
    pub rule: Rule,
    /// The concept, diet or level that it is about.
    pub concept: Option<String>,
    /// What is known of the concept in the item.
    pub presence: Option<Presence>,
    /// What it asks for.
    pub action: Action,
    /// The chain behind it.
    pub because: Vec<Step>,
    /// The finding in plain words.
    pub say: String,
    /// Ways to bring the item within the ordered levels, each a list of preparations; the result must be tested.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub remedies: Vec<Vec<String>>,
}

/// Words of an item that were not understood.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct UnreadText {
    /// The item, counted from 0.
    pub item: usize,
    /// Which of its texts.
    pub field: Field,
    /// The words.
    pub text: String,
    /// Their bytes.
    pub span: (usize, usize),
    /// Foods that a misspelling may have been meant as.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub read_as: Vec<String>,
}

/// Something that had to be assumed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Assumption {
    /// The item it is about, counted from 0; `None` for the order.
    pub item: Option<usize>,
    /// The assumption in plain words.
    pub say: String,
}

/// The ontology that a verdict rests on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OntologyStamp {
    /// Its version.
    pub version: String,
    /// Its digest; the overlay is part of it.
    pub digest: String,
    /// Name and version of the overlay that lies over it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub overlay: Option<String>,
}

/// The answer to "is this tray safe for this order?", with everything it rests on.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Verdict {
    /// What to do.
    pub verdict: Action,
    /// What was found, by item, then rule; findings about the order come first.
    pub findings: Vec<Finding>,
    /// What was not understood.
    pub unread: Vec<UnreadText>,
    /// What had to be assumed.
    pub assumptions: Vec<Assumption>,
    /// The verdict in plain words.
    pub say: String,
    /// The standing caution; never left out.
    pub caution: String,
    /// The ontology behind it.
    pub ontology: OntologyStamp,
}

/// The worst action wins; none is `serve`.
pub(crate) fn fold(findings: &[Finding]) -> Action {
    findings.iter().map(|f| f.action).max().unwrap_or(Action::Serve)
}
