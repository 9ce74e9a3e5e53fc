/** Runs a command for its exit code. Each command brings its modules when it is asked for, so that all start quickly. */
export type Run = (task: () => Promise<number>) => Promise<void>;
