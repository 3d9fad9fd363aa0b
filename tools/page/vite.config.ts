import { readFileSync } from "node:fs";
import { defineConfig } from "vite";

// The program embeds both files, so their names are fixed and nothing in them may depend on where or when they were
// built. The licence of what is bundled goes with it.
const licence = readFileSync(new URL("node_modules/uplot/LICENSE", import.meta.url), "utf8").trim();

export default defineConfig({
    build: {
        target: "es2022",
        cssTarget: ["chrome123", "firefox121", "safari17.5"],
        outDir: "bundle",
        lib: {
            entry: "src/main.ts",
            formats: ["iife"],
            name: "pullcastPage",
            fileName: () => "page.js",
            cssFileName: "page",
        },
        minify: true,
        sourcemap: false,
        rolldownOptions: { output: { postBanner: `/*! Contains uPlot.\n${licence}\n*/` } },
    },
});
