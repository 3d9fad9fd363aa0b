import { readFileSync } from "node:fs";
import { defineConfig } from "vite";

// Two bundles, one a build: "page" from main.ts and "more" from more.ts. The program embeds their files, so that names are
// fixed and nothing in them may depend on where or when they were built. The licence of what is bundled goes with it.
const bundle = process.env.BUNDLE ?? "page";
const licence = readFileSync(new URL("node_modules/uplot/LICENSE", import.meta.url), "utf8").trim();

export default defineConfig({
    build: {
        target: "es2022",
        cssTarget: ["chrome123", "firefox121", "safari17.5"],
        outDir: "bundle",
        emptyOutDir: false,
        lib: {
            entry: bundle === "page" ? "src/main.ts" : "src/more.ts",
            formats: ["iife"],
            name: "pullcastPage",
            fileName: () => `${bundle}.js`,
            cssFileName: bundle,
        },
        minify: true,
        sourcemap: false,
        rolldownOptions: { output: { postBanner: `/*! Contains uPlot.\n${licence}\n*/` } },
    },
});
