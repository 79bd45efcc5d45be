// Messages between the page and the worker of Python, and between the page and the service worker.

declare namespace Wire {
  interface Cause {
    code: string;
    message: string;
    remedy: string;
    report: Report;
  }

  /** For a developer: where an error arose. Never what it says, which may hold what was typed. */
  interface Report {
    kind: string;
    where: string[];
  }

  type State =
    | { state: "fetching"; done: number; total: number }
    | { state: "waking" }
    | { state: "ready"; milliseconds: number; boot: "snapshot" | "plain"; note: string | null }
    | { state: "failed"; cause: Cause };

  /** The JSON text of a request and of its answer. */
  interface Asked {
    id: number;
    request: string;
  }

  interface Answered {
    id: number;
    response: string;
  }

  type FromPython = State | (Answered & { state?: undefined });

  type Questions = { [kind: string]: { request: unknown; answer: unknown } };

  type ToServiceWorker = { type: "skip-waiting" } | { type: "verify"; whole?: boolean; mend?: boolean };

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
