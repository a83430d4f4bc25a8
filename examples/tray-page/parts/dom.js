// The one way in which this page makes elements: text only ever becomes text, never markup.

/**
 * An element with attributes and children; strings become text nodes, `null` and `false` are left out.
 * @param {string} name
 * @param {Record<string, string | boolean>} [attributes]
 * @param {...(Node | string | null | false)} children
 */
export function make(name, attributes = {}, ...children) {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (value !== false) element.setAttribute(key, value === true ? "" : value);
  }
  element.append(...children.filter((child) => child !== null && child !== false));
  return element;
}

/** The sign of a verdict word; for the eye only, the word always stands beside it. */
export function sign(action) {
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  svg.setAttribute("class", "sign");
  svg.setAttribute("aria-hidden", "true");
  const use = document.createElementNS("http://www.w3.org/2000/svg", "use");
  use.setAttribute("href", `#sign-${action}`);
  svg.append(use);
  return svg;
}

/** The element with this id. */
export const by = (id) => document.getElementById(id);

let pending = 0;

/** Says something in the page's one live region; the same words twice are said twice. */
export function announce(words) {
  const live = by("live");
  live.textContent = "";
  clearTimeout(pending);
  pending = setTimeout(() => (live.textContent = words), 60);
}
