/**
 * Unpacks a file's own modules and tables, each a name, a kind and its gzip as base64, in an order in which each names
 * only earlier ones, as "part:name". The last is the page's module.
 */
async function unpack() {
  /** @type {[string, string, string][]} */
  const parts = JSON.parse(document.getElementById("offline-parts")?.textContent ?? "[]");
  /** @type {Record<string, string>} */
  const found = {};
  let last = "";
  for (const [name, kind, text] of parts) {
    const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
    const answer = new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip")));
    let part = await answer.blob();
    if (kind) {
      const linked = (await part.text()).replace(
        /part:([\w.-]+)/g,
        (_all, /** @type {string} */ earlier) => found[earlier],
      );
      if (kind === "json") Object.assign(document.getElementById(name) ?? {}, { textContent: linked });
      part = new Blob([linked], { type: "text/javascript" });
    }
    last = found[name] = URL.createObjectURL(part);
  }
  await import(last);
}

unpack();
