/** Thrown when what this phone holds does not reach for a question; the message says what to do. */
export class NotCovered extends Error {}
