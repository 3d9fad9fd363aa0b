import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";

// npm runs scripts in the package's folder.
for (const name of ["page", "more"]) {
    const script = readFileSync(`bundle/${name}.js`, "utf8");
    const styles = readFileSync(`bundle/${name}.css`, "utf8");

    // HTML Living Standard, 4.12.1.3 "Restrictions for contents of script elements".
    test(`${name}: the script can stand inside a script element and the styles inside a style element`, () => {
        assert.ok(script.length > 1000 && styles.length > 1000);
        assert.doesNotMatch(script, /<\/script|<!--|<script/i);
        assert.doesNotMatch(styles, /<\/style/i);
    });

    test(`${name}: nothing is fetched and nothing tells where the bundle was built`, () => {
        assert.doesNotMatch(script, /sourceMappingURL|file:\/\/|node_modules/);
        assert.doesNotMatch(styles, /@import|url\(\s*["']?(?!["']?#)|sourceMappingURL/);
        assert.ok(!script.includes(process.cwd()) && !styles.includes(process.cwd()));
    });

    test(`${name}: the licence of what is bundled goes with it`, () => {
        assert.ok(script.includes(readFileSync("node_modules/uplot/LICENSE", "utf8").trim()));
    });
}
