/// The script of pages about days, lessons and choices of parts. Apart from that of pulls, so that a report, which holds
/// many curves, stays a small file.

import { renderAnswers } from "./answers";
import { renderChoice } from "./choice";
import { renderContents } from "./contents";
import { renderDay } from "./day";
import { renderLesson } from "./lesson";
import { start } from "./start";

start({ day: renderDay, choice: renderChoice, lesson: renderLesson, contents: renderContents, answers: renderAnswers });
