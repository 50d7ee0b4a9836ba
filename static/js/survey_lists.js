/**
 * The lists of a survey (openings, zones, walls) as the form shows them: rows come from the page's templates, bear the
 * number of their place, and say where they stood in what is kept. A list that changed says so as it is sent:
 * "openings 1 0 +".
 */

/** @typedef {{mark: HTMLInputElement, said: string, rows: HTMLElement[]}} Change */

/** @param {string} path "next_walls[0].zones[1]", in ids next_walls-0-zones-1 */
const dashed = (path) => path.replace(/\W+/g, "-").replace(/-$/, "");

/** @param {string} css @param {ParentNode} [inside] @returns {HTMLElement[]} */
const every = (css, inside = document) => [...inside.querySelectorAll(/** @type {"div"} */ (css))];

/** @param {HTMLElement} list */
const rowsOf = (list) => every(":scope > [data-row]", list);

/** @param {ParentNode} row @returns {(HTMLInputElement | HTMLSelectElement)[]} what, left, bottom, width, height */
const places = (row) => [...row.querySelectorAll(/** @type {"input"} */ (":scope > .field [name]"))];

/** @param {HTMLElement} row @param {string} path */
function rename(row, path) {
  const from = row.dataset.row ?? "";
  const drawn = row.isConnected ? every(`[data-region="${from}"]`) : [];
  for (const one of [row, ...every("*", row), ...drawn])
    for (const attribute of one.attributes) {
      const { value } = attribute;
      const now = value.replaceAll(from, path).replaceAll(dashed(from), dashed(path));
      if (now !== value) attribute.value = now;
    }
}

/** Numbers, names and what is sent, after rows came or went. @param {HTMLElement} list */
function mark(list) {
  const rows = rowsOf(list);
  rows.forEach((row, place) => {
    rename(row, `${list.dataset.list}[${place}]`);
    const heading = row.querySelector("h2");
    if (heading) heading.textContent = heading.innerText.replace(/\d+/, String(place + 2));
    else row.ariaLabel = `${place + 1} ${row.querySelector("select")?.selectedOptions[0].text}`;
  });
  const said = /** @type {HTMLInputElement} */ (list.querySelector(":scope > [name=list]"));
  said.value = [list.dataset.list, ...rows.map((row) => row.dataset.was)].join(" ");
  said.disabled = false;
}

/** One more row: like the last one and beside it, for they come in rows. @param {HTMLElement} list */
export function add(list) {
  const rows = rowsOf(list);
  const last = rows.at(-1);
  const kind = list.dataset.list?.split(".").at(-1);
  const template = /** @type {HTMLTemplateElement} */ (document.querySelector(`[data-new="${kind}"]`));
  const row = /** @type {HTMLElement} */ (template.content.firstElementChild?.cloneNode(true));
  row.dataset.was = "+";
  rename(row, `${list.dataset.list}[${rows.length}]`);
  list.lastElementChild?.before(row);
  if (kind === "next_walls") roundTheCorner(row, last ? `${last.dataset.row}.` : "");
  else if (last) beside(places(row), places(last), Number(list.closest("form")?.dataset.nextToMm));
  mark(list);
  return row;
}

/**
 * @param {(HTMLInputElement | HTMLSelectElement)[]} now
 * @param {(HTMLInputElement | HTMLSelectElement)[]} last
 * @param {number} apart_mm
 */
function beside(now, last, apart_mm) {
  const left = now[1].value;
  now.forEach((box, k) => (box.value = last[k].value));
  const [from, , wide] = last.slice(1).map(({ value }) => (value ? Number(value) : NaN));
  // inches are the program's to read: then its own first place stands there, to be put right
  const place = Number((from + wide + apart_mm).toFixed(3));
  now[1].value = isNaN(place) ? left : String(place);
}

/** As high as the first wall; an end that was open meets the corner. @param {Element} row @param {string} before */
function roundTheCorner(row, before) {
  const [first, height, end] = [
    document.querySelector('[name="wall.height_mm"]'),
    row.querySelector('[name$=".wall.height_mm"]'),
    document.querySelector(`[name="${before}wall.right.meets"]`),
  ].map((one) => /** @type {HTMLInputElement} */ (one));
  height.value = first.value || height.value;
  if (end.value === "open") end.value = "inside_corner";
}

/** @param {HTMLElement} row */
export function take(row) {
  const list = /** @type {HTMLElement} */ (row.parentElement);
  every(`[data-region="${row.dataset.row}"]`).forEach((one) => one.remove());
  row.remove();
  mark(list);
  return list;
}

/** A list as it was shelved; what else the rows hold is put in by their fields. @param {string} said */
export function restore(said) {
  const [path, ...was] = said.split(" ");
  const [list] = every(`[data-list="${path}"]`);
  if (!list) return;
  for (const row of rowsOf(list)) if (!was.includes(row.dataset.was ?? "")) take(row);
  while (rowsOf(list).length < was.length) add(list);
  mark(list);
}

/** @param {ParentNode} form @returns {Change[]} the lists that changed since they were kept */
export const changes = (form) =>
  every("[name=list]:enabled", form).map((one) => {
    const said = /** @type {HTMLInputElement} */ (one);
    return { mark: said, said: said.value, rows: rowsOf(/** @type {HTMLElement} */ (one.parentElement)) };
  });

/** Changes are kept as they were sent. @param {Change[]} sent @returns {boolean} whether nothing changed since */
export function settle(sent) {
  for (const { rows } of sent) rows.forEach((row, place) => (row.dataset.was = String(place)));
  const same = sent.filter((one) => one.mark.value === one.said);
  for (const one of sent)
    if (same.includes(one)) one.mark.disabled = true;
    else mark(/** @type {HTMLElement} */ (one.mark.parentElement));
  return same.length === sent.length;
}
