/** The pages on which a survey is made: loaded when somebody makes one. */

export { default as Decide } from "./Decide.svelte";
export { default as New } from "./New.svelte";
export { default as Survey } from "./Survey.svelte";
export { default as Sound } from "./Sound.svelte";
