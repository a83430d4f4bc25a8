// The list of items. The rows of the form are the only copy of it.

import { announce, by, make } from "./dom.js";

const list = () => by("items");
const rows = () => [...list().children];
const part = (row, name) => row.querySelector(`.${name}`);
let made = 0;
let changed;

/** Sets the list up with one empty row; `onChange` is called after every change of it by a button, a key or a paste. */
export function startTray(onChange) {
  changed = onChange;
  list().addEventListener("click", ({ target }) => {
    const button = target.closest(".remove");
    if (button) take(button.closest(".item"));
  });
  list().addEventListener("keydown", (event) => {
    if (event.key === "Enter" && !event.isComposing && event.target.matches(".name")) {
      event.preventDefault();
      next(event.target);
    }
  });
  list().addEventListener("paste", (event) => {
    if (event.target.matches(".name")) paste(event);
  });
  list().addEventListener("input", numberRows);
  by("add").addEventListener("click", () => {
    const row = addRow();
    numberRows();
    part(row, "name").focus();
    announce(`Item ${rows().length} added`);
    changed();
  });
  setItems([]);
}

/** Replaces the list; one empty row where there is nothing. */
export function setItems(items) {
  list().replaceChildren();
  for (const item of items.length ? items : [{}]) addRow(item);
  numberRows();
}

/**
 * The filled rows as items of the exchange format, with the row of each.
 * Rows in which nothing is filled in are left out.
 * @returns {{item: object, row: Element}[]}
 */
export function filled() {
  return rows()
    .map((row) => ({ item: itemOf(row), row }))
    .filter(({ item }) => item.name.trim() || item.ingredients !== null || item.sealed);
}

/** The field of a row that an error is about. */
export const fieldOf = (row, field) => part(row ?? rows()[0], field === "ingredients" ? "ingredients" : "name");

function itemOf(row) {
  const ingredients = part(row, "ingredients").value;
  return {
    name: part(row, "name").value,
    ingredients: ingredients.trim() ? ingredients : null,
    sealed: part(row, "sealed").checked,
  };
}

function addRow({ name: text = "", ingredients = null, sealed = false } = {}, after = null) {
  const row = by("item-row").content.firstElementChild.cloneNode(true);
  made += 1;
  for (const field of row.querySelectorAll(".name, .ingredients")) {
    const error = field.closest(".field").querySelector(".error");
    error.id = `item-${made}-${field.className}`;
    field.setAttribute("aria-describedby", error.id);
  }
  part(row, "name").value = text;
  part(row, "ingredients").value = ingredients ?? "";
  part(row, "sealed").checked = sealed;
  part(row, "label").open = ingredients !== null;
  if (after) after.after(row);
  else list().append(row);
  return row;
}

/** Numbers the rows, and says in the names of their controls which item they belong to. */
function numberRows() {
  rows().forEach((row, n) => nameControls(row, `Item ${n + 1}`));
}

function nameControls(row, place) {
  const what = part(row, "name").value.trim();
  const whole = what ? `${place}, ${what}` : place;
  const given = part(row, "ingredients").value.trim() !== "";
  part(row, "number").textContent = place;
  part(row, "remove").setAttribute("aria-label", `Take out ${whole}`);
  part(row, "sealed").setAttribute("aria-label", `Sealed: ${whole}`);
  part(row, "ingredients").setAttribute("aria-label", `Ingredient list of ${whole}`);
  row.querySelector("summary").replaceChildren(
    given ? "Ingredient list: given" : "Ingredient list, if there is one",
    make("span", { class: "unseen" }, ` (${whole})`),
  );
}

function take(row) {
  const place = rows().indexOf(row);
  row.remove();
  if (!rows().length) addRow();
  numberRows();
  part(rows()[Math.min(place, rows().length - 1)], "name").focus();
  announce(`Item ${place + 1} taken out. ${rows().length} left in the list.`);
  changed();
}

/** Enter: on to the next row; from an empty last row on to the check. */
function next(field) {
  const row = field.closest(".item");
  const following = row.nextElementSibling;
  if (following) part(following, "name").focus();
  else if (!field.value.trim()) document.querySelector("button[type=submit]").focus();
  else {
    const added = addRow();
    numberRows();
    part(added, "name").focus();
    changed();
  }
}

/** A pasted list becomes one row a line; a text field would run the lines together. */
function paste(event) {
  const lines = event.clipboardData.getData("text").split(/[\r\n]+/u).map((line) => line.trim()).filter(Boolean);
  if (lines.length < 2) return;
  event.preventDefault();
  let row = event.target.closest(".item");
  if (!event.target.value.trim()) event.target.value = lines.shift();
  for (const line of lines) row = addRow({ name: line }, row);
  numberRows();
  part(row, "name").focus();
  announce(`${rows().length} items in the list`);
  changed();
}
