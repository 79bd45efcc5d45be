// Messages between the page and the worker of Python, and between the page and the service worker.

declare namespace Wire {
  /** A sentence of the worker: worker_SAID of the words, and what is filled in. */
  interface Sentence {
    said: string;
    parts: (string | Sentence)[];
  }

  interface Failure<R = Report> extends Sentence {
    code: string;
    report: R;
  }

  /** The same in words. */
  interface Cause<R = Report> {
    code: string;
    message: string;
    remedy: string;
    report: R;
  }

  /** For a developer: where an error arose. Never what it says, which may hold what was typed. */
  interface Report {
    kind: string;
    where: string[];
  }

  type State<C = Cause> =
    | { state: "fetching"; done: number; total: number }
    | { state: "waking" }
    | { state: "ready"; milliseconds: number; boot: "snapshot" | "plain"; note: string | null }
    | { state: "failed"; cause: C };

  /** The JSON text of a request and of its answer. */
  interface Asked {
    id: number;
    request: string;
  }

  interface Answered {
    id: number;
    response?: string;
    /** where Python gave no answer; without a report where that was foreseen */
    failure?: Failure<Report | null>;
  }

  type FromPython = State<Failure> | (Answered & { state?: undefined });

  type Questions = { [kind: string]: { request: unknown; answer: unknown } };

  type ToServiceWorker = { type: "skip-waiting" | "let-go" } | { type: "verify"; whole?: boolean; lifts?: boolean; mend?: boolean };

  interface Verified {
    type: "verify";
    complete: boolean;
    have: number;
    need: number;
    mended: number;
    version: string;
  }

  interface InstallFailed {
    type: "install-failed";
    full: boolean;
  }
}
