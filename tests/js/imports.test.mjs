// Every import of our modules leads somewhere: to a file of ours that exports the name, or to three.js.
// The browser would only find out on the page that needs it.

import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import { test } from "node:test";

const ours = new URL("../../static/js/", import.meta.url);
const three = new URL("../../static/node_modules/three/build/three.module.js", import.meta.url);

const STATEMENT = /^import\s+(?:(?<what>[^"']+?)\s+from\s+)?["'](?<from>[^"']+)["']/gm;
const EXPORT = /^export\s+(?:default\s+)?(?:async\s+)?(?:function\*?|class|const|let)\s+(?<name>\w+)/gm;

/** Names that an import clause asks for: `{ a, b as c }` gives a and b; `* as x` and `x` give none. */
function namesIn(clause) {
  const list = /\{([^}]*)\}/.exec(clause ?? "")?.[1] ?? "";
  return list.split(",").flatMap((part) => part.trim().split(/\s+as\s+/)[0] || []);
}

/** Names that one of our modules exports, read from its text: loading it may need a page. */
function exportsOf(url) {
  return new Set([...readFileSync(url, "utf8").matchAll(EXPORT)].map((found) => found.groups.name));
}

const files = readdirSync(ours, { recursive: true }).filter((name) => name.endsWith(".js"));

test("there are modules to look at", () => assert.ok(files.length > 0));

for (const name of files) {
  test(`the imports of ${name}`, async () => {
    const here = new URL(name, ours);
    for (const { groups } of readFileSync(here, "utf8").matchAll(STATEMENT)) {
      const { what, from } = groups;
      assert.ok(from === "three" || from.startsWith("."), `${from} is neither three nor a file of ours`);
      const has =
        from === "three" ? new Set(Object.keys(await import(three))) : exportsOf(new URL(from, here));
      for (const wanted of namesIn(what)) assert.ok(has.has(wanted), `${from} exports no ${wanted}`);
    }
  });
}
