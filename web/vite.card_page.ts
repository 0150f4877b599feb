import { createHash } from "node:crypto";
import { defineConfig, type Plugin } from "vite";

const of_bytes = (text: string) => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;

/** The one file that is kept: whoever opens it needs no other, and nothing runs in it but what was built. The program puts the flight in. */
function one_file(): Plugin {
  return {
    name: "one-file",
    enforce: "post",
    generateBundle(_, bundle) {
      let script = "";
      let style = "";
      for (const [name, file] of Object.entries(bundle)) {
        if (file.type === "chunk") script += file.code;
        else if (name.endsWith(".css")) style += String(file.source);
        else throw new Error(`${name}: a card page has nothing beside it`);
        delete bundle[name];
      }
      if (script === "" || style === "") throw new Error("a card page has a script and a style");
      if (/<\/(script|style)|<!--/i.test(script + style)) throw new Error("what is built would end its own element");
      const policy = `default-src 'none'; script-src ${of_bytes(script)}; style-src ${of_bytes(style)}; base-uri 'none'; form-action 'none'`;
      const source = `<!doctype html>
<html lang="en" data-colours="day">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Card</title>
<style>${style}</style>
</head>
<body>
<div id="page"><p>The card is shown by a script: allow scripts for this file.</p></div>
<script type="application/json" id="card"></script>
<script type="application/json" id="groundspeed-check"></script>
<script>${script}</script>
</body>
</html>
`;
      this.emitFile({ type: "asset", fileName: "card-page.html", source });
    },
  };
}

export default defineConfig({
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  publicDir: false,
  plugins: [one_file()],
  build: {
    emptyOutDir: false,
    cssCodeSplit: false,
    modulePreload: false,
    target: "es2022",
    rolldownOptions: { input: "src/card/kept_card.tsx", output: { format: "iife" } },
  },
});
