//! The chain behind a finding: from the words on the tray, edge by edge, to what the order excludes.
//!
//! A person can follow it and a program can replay it against the ontology of the same version.

use serde::Serialize;

use crate::level::{DrinkLevel, FoodLevel};
use crate::ontology::{ConceptId, Ontology, Strength};
use crate::read::Field;
use crate::tested::TestResults;

/// One step of a chain.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "step", rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Step {
    /// Words of the item, and the concept they were read as.
    Text {
        /// Which text.
        field: Field,
        /// The words as written.
        text: String,
        /// Their bytes.
        span: (usize, usize),
        /// The concept.
        read_as: String,
    },
    /// `from` is a kind of `to`.
    KindOf {
        /// The more special concept.
        from: String,
        /// The more general one.
        to: String,
        /// Source keys of the entry that says so.
        source: Vec<String>,
    },
    /// `from` is made with `to`.
    MadeWith {
        /// The food.
        from: String,
        /// The ingredient.
        to: String,
        /// How surely.
        strength: Strength,
        /// Source keys of the entry that says so.
        source: Vec<String>,
    },
    /// The bare word `from` may hide `to`.
    MayHide {
        /// The vague word.
        from: String,
        /// What it may hide.
        to: String,
        /// Source keys of the entry that says so.
        source: Vec<String>,
    },
    /// A claim that softened the way here.
    Claim {
        /// Which text makes it.
        field: Field,
        /// The words as written.
        text: String,
        /// Their bytes.
        span: (usize, usize),
        /// The claim.
        claim: String,
    },
    /// The words stand under a precautionary statement.
    Precaution,
    /// The item names `concept`, and `than` is a kind of it that may be meant.
    MoreGeneral {
        /// What is named.
        concept: String,
        /// What it may be.
        than: String,
    },
    /// Words that were not understood.
    Unread {
        /// Which text.
        field: Field,
        /// The words as written.
        text: String,
        /// Their bytes.
        span: (usize, usize),
    },
    /// How a concept is ordinarily served.
    Form {
        /// The concept whose entry says so.
        concept: String,
        /// Level of the solid part, after `prepared`.
        food: Option<FoodLevel>,
        /// Level of the liquid part, after `prepared`.
        drink: Option<DrinkLevel>,
        /// What it does in the mouth, after `prepared`.
        risks: Vec<String>,
        /// The preparations beside it, nearest first.
        prepared: Vec<String>,
        /// Source keys of the entry that says so.
        source: Vec<String>,
    },
    /// Tests of the actual food, and what they show; they outrank the ordinary form.
    Tested {
        /// The results as given.
        results: TestResults,
        /// Lower food levels are ruled out.
        food_from: FoodLevel,
        /// The lowest food level whose tests were all passed.
        food_to: FoodLevel,
        /// The thinnest and the thickest liquid level that the results leave.
        drink: Option<(DrinkLevel, DrinkLevel)>,
        /// The test of transitional foods was passed.
        transitional: bool,
        /// Source keys of the tests.
        source: Vec<String>,
    },
    /// A concept has a diet trait.
    Trait {
        /// The concept whose entry says so.
        concept: String,
        /// The trait.
        id: String,
        /// Source keys of the entry that says so.
        source: Vec<String>,
    },
    /// The item holds another food of a group that is asked about together.
    SameGroup {
        /// What the item holds.
        concept: String,
        /// What the order excludes.
        excluded: String,
        /// Source keys of the group.
        source: Vec<String>,
    },
    /// The rule of the order that all this meets.
    Rule {
        /// The place in the order: `allergies[0]`, `diets[1]`, `food_level`.
        order: String,
        /// What the order says there.
        says: String,
        /// Source keys of the rule, where it is not the order's own.
        source: Vec<String>,
    },
}

impl Step {
    /// The steps along `kinds_of` from one concept up to another; none when they are the same.
    pub(crate) fn kinds(ontology: &Ontology, from: ConceptId, to: ConceptId) -> Vec<Self> {
        let path = ontology.kind_path(from, to);
        let pair = |pair: &[ConceptId]| match pair {
            [from, to] => Some(Self::KindOf {
                from: ontology.concept(*from).id().to_owned(),
                to: ontology.concept(*to).id().to_owned(),
                source: ontology.concept(*from).source().to_vec(),
            }),
            _ => None,
        };
        path.windows(2).filter_map(pair).collect()
    }

    pub(crate) fn made_with(ontology: &Ontology, from: ConceptId, to: ConceptId, strength: Strength) -> Self {
        Self::MadeWith {
            from: ontology.concept(from).id().to_owned(),
            to: ontology.concept(to).id().to_owned(),
            strength,
            source: ontology.concept(from).source().to_vec(),
        }
    }

    pub(crate) fn may_hide(ontology: &Ontology, from: ConceptId, to: ConceptId) -> Self {
        Self::MayHide {
            from: ontology.concept(from).id().to_owned(),
            to: ontology.concept(to).id().to_owned(),
            source: ontology.concept(from).source().to_vec(),
        }
    }
}
