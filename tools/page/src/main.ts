/// The script of pages about pulls: reports, explanations, measured pulls, the live page.

import { renderExplained } from "./explained";
import { renderLive } from "./live";
import { renderMatched } from "./matched";
import { renderReport } from "./report";
import { start } from "./start";

start({ report: renderReport, live: renderLive, explained: renderExplained, matched: renderMatched });
