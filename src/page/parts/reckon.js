// The way to the reckonings of the bay: forms that take readings and say what they mean. Their
// files come when the bay is first opened (reckon/room.js).
import { later } from "../later.js";
import { nothing } from "../lit.js";

const files = later(() => import("../reckon/room.js"), "/reckon/reckon.css");

/** In a step: what works out one of these facts, or helps with this repair. `put` enters. */
export const reckonHere = (asked) => files.wanted()?.here(asked) ?? nothing;

/** All of them, to choose from. */
export const reckonList = () => files.wanted()?.list() ?? nothing;
