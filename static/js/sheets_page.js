/** The list of documents stands open where it has a column of its own, and is folded above the sheets on a phone. */
const list = document.querySelector("[data-drawers]");
const wide = matchMedia("(min-width: 900px)");

if (list instanceof HTMLDetailsElement) {
  const show = () => (list.open = wide.matches);
  wide.addEventListener("change", show);
  show();
}
