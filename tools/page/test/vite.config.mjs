// Turns each *.test.mjs with the modules that it imports into plain JavaScript for Node's own test runner.
import { readdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { defineConfig } from "vite";

const here = fileURLToPath(new URL(".", import.meta.url));
const tests = readdirSync(here).filter((name) => name.endsWith(".test.mjs"));

export default defineConfig({
    logLevel: "warn",
    build: {
        ssr: true,
        target: "node20",
        minify: false,
        outDir: "node_modules/.test",
        emptyOutDir: true,
        rolldownOptions: {
            input: Object.fromEntries(tests.map((name) => [name.replace(/\.mjs$/, ""), here + name])),
            output: { entryFileNames: "[name].mjs" },
        },
    },
    ssr: { noExternal: true },
});
