// Invented residents, cards and trays: one for each verdict.

export const EXAMPLES = [
  {
    resident: "R-63",
    meal: "supper",
    card: "Soft & bite-sized, mildly thick liquids. NAS.\nALLERGY: milk (hives)",
    items: [
      { name: "grilled chicken sausage", ingredients: "chicken, water, whey powder, salt, spices" },
      { name: "mashed carrots" },
      { name: "crème brûlée" },
      { name: "tea" },
      { name: "salt packet", sealed: true },
    ],
  },
  {
    resident: "R-45",
    meal: "lunch",
    card: "Regular texture. ALLERGY: tree nuts",
    items: [{ name: "roast turkey" }, { name: "Marlo's zindle bar" }, { name: "black coffee" }],
  },
  {
    resident: "R-38",
    meal: "lunch",
    card: "NAS. ALLERGY: fish",
    items: [
      { name: "baked chicken" },
      { name: "boiled rice" },
      { name: "steamed green beans" },
      { name: "water" },
      { name: "salt packet", sealed: true },
    ],
  },
  {
    resident: "R-52",
    meal: "breakfast",
    card: "Regular texture. ALLERGY: peanuts (anaphylaxis)",
    items: [{ name: "oatmeal" }, { name: "banana" }, { name: "orange juice" }],
  },
];
