//! The bounds on every input. Past one of them there is a typed error that names it, never a cut text.

/// Most bytes in an item's name.
pub const NAME_BYTES: usize = 2_000;
/// Most bytes in an item's ingredient statement.
pub const INGREDIENTS_BYTES: usize = 40_000;
/// Most bytes in `order.text` and in one of `order.notes`.
pub const CARD_BYTES: usize = 10_000;
/// Most bytes in one word of an order (an allergy, a diet, a resident or meal).
pub const WORD_BYTES: usize = 500;
/// Most items on a tray.
pub const ITEMS: usize = 200;
/// Most entries in one list of an order.
pub const ORDER_ENTRIES: usize = 200;
/// Most bytes in one check as JSON.
pub const CHECK_BYTES: usize = 4_000_000;
/// Most levels of brackets that are followed in an ingredient statement; deeper ones are read flat.
pub const NESTING: usize = 32;
/// Most millilitres a day that a fluid limit may state.
pub const FLUID_ML: u32 = 10_000;
/// Most bytes in an overlay.
pub const OVERLAY_BYTES: usize = 64_000_000;
/// Most concepts in an overlay.
pub const OVERLAY_CONCEPTS: usize = 100_000;
/// Millilitres that the syringe of the flow test holds (source: IDDSI Testing Methods 2.0, 2019).
pub const SYRINGE_ML: u32 = 10;
/// Most millimetres that a piece of food may measure.
pub const PIECE_MM: u32 = 500;
