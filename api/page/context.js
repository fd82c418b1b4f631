/**
 * What a screen is given to work with, and what it gives back.
 *
 * @import {Address, Case, Diagnosis} from "./types.js"
 *
 * @typedef {object} Context
 * @property {() => Case} subject  the case as it is now
 * @property {() => Address} address  the place in the flow
 * @property {(next: Case) => void} change  puts another case in its place and keeps it
 * @property {(hash: string) => void} go  moves on; Back returns here
 * @property {(hash: string) => void} replace  moves on; Back does not return here
 * @property {(of: Case, count?: number) => Promise<Diagnosis>} diagnose  asks about a case
 * @property {(body: object) => Promise<Diagnosis>} ask  sends one request
 * @property {<T>(work: Promise<T>) => Promise<T>} fetch  waits for work and shows that it goes on
 * @property {(work: () => Promise<void>) => Promise<void>} once  does the work unless other work is going on
 * @property {(language: string) => Promise<void>} speak  puts the page into another language
 * @property {(text: string) => void} tell  says something to those who listen
 *
 * @typedef {{title: string, titleIs?: {lang?: string}, body: Node[], actions?: Node[]}} View  `titleIs` marks a title in another language
 * @typedef {(context: Context, address: Address) => View|Promise<View>} Screen
 */
export {};
