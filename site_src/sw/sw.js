// Keeps the whole site on the device. One version at a time, complete or not at all; it never touches what is not its own.
// The build puts all of it into one block: a script that was cut off does not parse, and is never installed.
/** @type {{ id: string, files: { [name: string]: string } }} */
const BUILD = { id: 'unbuilt', files: {} }; // filled in by build.py

const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self)); // the type of `self` is any worker's
const SCOPE = worker.registration.scope;
const OURS = `shortlever|${new URL(SCOPE).pathname}|`; // a host may hold other sites beside this one
const SITE = `${OURS}site|${BUILD.id}`;
const PYTHON = `${OURS}python`; // its files have their content's hash in their path, so versions can share them
const HASH = 'X-Shortlever-Hash';
const AT_A_TIME = 3;

const all = Object.keys(BUILD.files);
const names = all.filter((name) => !isAsked(name));
const later = names.filter((name) => name.includes('.zip')); // for the plain boot, or a lift that few ask for: not at a first visit, see verify
const ofLifts = later.filter((name) => name.includes('/lifts.zip'));
const first = names.filter((name) => !later.includes(name));
const isPython = (/** @type {string} */ name) => /^(runtime|core|snapshot)\//.test(name);
/** Fetched only when asked for, then kept. @param {string} name */
function isAsked(name) { return name.startsWith('example/'); }
const cacheOf = (/** @type {string} */ name) => caches.open(isPython(name) ? PYTHON : SITE);
const address = (/** @type {string} */ name) => new URL(name, SCOPE).href;
/** By what was noted when it was kept: quick. @param {Response | undefined | null} response @param {string} name @returns {response is Response} */
const isGood = (response, name) => response?.headers.get(HASH) === BUILD.files[name];

/** By its bytes: a device may damage what it keeps. @param {Response | undefined | null} response @param {string} name */
async function isWhole(response, name) {
  if (!isGood(response, name)) return false;
  const bytes = await response.clone().arrayBuffer().catch(() => null);
  return bytes !== null && (await hashOf(bytes)) === BUILD.files[name];
}

const ownCaches = async () => (await caches.keys()).filter((key) => key.startsWith(OURS));
const olderCaches = async () => Promise.all((await ownCaches()).map((key) => caches.open(key)));

// ---- install: all or nothing

worker.addEventListener('install', (event) => event.waitUntil(install()));

async function install() {
  const older = await olderCaches();
  const queue = [...(worker.registration.active ? names : first)];
  for (const name of all.filter(isAsked)) if (await isKept(name, older)) queue.push(name);
  const hand = async () => {
    try {
      for (let name = queue.shift(); name; name = queue.shift()) await keep(name, older);
    } catch (error) {
      queue.length = 0; // the other hands still finish what they have
      throw error;
    }
  };
  const ends = await Promise.allSettled(Array.from({ length: AT_A_TIME }, hand));
  const failed = ends.find((end) => end.status === 'rejected');
  if (!failed) return;
  await caches.delete(SITE); // what was fetched of Python stays, and is not fetched again at the next try
  await tellPages({ type: 'install-failed', full: failed.reason.name === 'QuotaExceededError' });
  throw failed.reason;
}

/** Whether an older version has kept what is asked for. @param {string} name @param {Cache[]} older */
async function isKept(name, older) {
  const found = await Promise.all(older.map((cache) => cache.match(address(name))));
  return found.some(Boolean);
}

/** @param {Wire.InstallFailed} message */
async function tellPages(message) {
  const pages = await worker.clients.matchAll({ includeUncontrolled: true });
  for (const page of pages) if (page.url.startsWith(SCOPE)) page.postMessage(message);
}

/** @param {string} name @param {Cache[]} older */
async function keep(name, older) {
  for (const other of older) {
    const kept = await other.match(address(name));
    if (!kept || !(await isWhole(kept, name))) continue;
    if (!isPython(name)) await (await cacheOf(name)).put(address(name), kept);
    return;
  }
  // Python's files may come out of the browser's own cache, where the page has just put them: the hash decides.
  /** @type {RequestCache[]} */
  const ways = isPython(name) ? ['no-cache', 'reload'] : ['reload'];
  for (const way of ways) {
    const response = await fetch(address(name), { cache: way });
    if (!response.ok) throw new Error(`${name}: ${response.status}`);
    if (await put(name, response)) return;
  }
  throw new Error(`${name}: not the bytes of this version`);
}

/** Keeps what came of a file if it is this version's. @param {string} name @param {Response} response */
async function put(name, response) {
  const bytes = await response.arrayBuffer();
  if ((await hashOf(bytes)) !== BUILD.files[name]) return false;
  const headers = new Headers(response.headers);
  headers.delete('Content-Encoding');
  headers.delete('Content-Length');
  headers.set(HASH, BUILD.files[name]);
  await (await cacheOf(name)).put(address(name), new Response(bytes, { headers }));
  return true;
}

/** @param {ArrayBuffer} bytes */
async function hashOf(bytes) {
  const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  return Array.from(hash, (byte) => byte.toString(16).padStart(2, '0')).join('').slice(0, 16);
}

// ---- activate: drop our own older versions, and nothing else

worker.addEventListener('activate', (event) => event.waitUntil(activate()));

async function activate() {
  for (const key of await ownCaches()) {
    if (key !== SITE && key !== PYTHON) await caches.delete(key);
  }
  const python = await caches.open(PYTHON);
  const wanted = new Set(names.filter(isPython).map(address));
  for (const request of await python.keys()) {
    if (!wanted.has(request.url)) await python.delete(request);
  }
  await worker.clients.claim();
}

// ---- fetch: every path ends in a Response

worker.addEventListener('fetch', (event) => {
  const { method, url } = event.request;
  if (method !== 'GET' || !url.startsWith(SCOPE)) return;
  const name = new URL(url).pathname.slice(new URL(SCOPE).pathname.length) || 'index.html';
  const response = respond(event, name);
  event.respondWith(response);
  if (!isPython(name)) event.waitUntil(response.then(() => lookOver(name)));
});

/** What was just given out stays as quick; if it was damaged, the next start gets it whole. @param {string} name */
async function lookOver(name) {
  const kept = leaving ? null : await fromCache(name);
  if (kept && !(await isWhole(kept, name))) await keep(name, []).catch(() => {}); // no network: the next time
}

/** @param {FetchEvent} event @param {string} name */
async function respond(event, name) {
  const { request } = event;
  const kept = await fromCache(name);
  if (kept) return kept;
  try {
    if (isAsked(name) && Object.hasOwn(BUILD.files, name)) {
      await keep(name, await olderCaches());
      return (await fromCache(name)) ?? await fetch(request);
    }
    const response = await fetch(request);
    if (later.includes(name)) event.waitUntil(put(name, response.clone()).catch(() => {})); // asked for once: from now on it is here
    return response;
  } catch {
    const page = request.mode === 'navigate' ? await fromCache('index.html') : null;
    return page ?? Response.error(); // as without us: who asked says that it cannot be reached, not that a server answered
  }
}

/** @param {string} name */
async function fromCache(name) {
  if (!Object.hasOwn(BUILD.files, name)) return null;
  try {
    return (await (await cacheOf(name)).match(address(name))) ?? null;
  } catch {
    return null; // a browser may refuse its caches; the network is left
  }
}

// ---- messages: to pages {type: 'install-failed', full}; from them {type: 'skip-waiting'}, {type: 'let-go'} → {leaving},
// and {type: 'verify', whole, lifts, mend} → {type: 'verify', complete, have, need, mended, version}; with `whole` what a first visit left out
// is fetched and counted too, with `lifts` of that what the lifts need; with `mend` all are read and hashed, and what is damaged or gone is fetched afresh

let leaving = false; // a newer version waits until this one has nothing under way

worker.addEventListener('message', (event) => {
  if (event.data?.type === 'skip-waiting') worker.skipWaiting();
  if (event.data?.type === 'let-go') event.ports[0]?.postMessage({ leaving: leaving = true });
  if (event.data?.type === 'verify') event.waitUntil(verify(event.ports[0] ?? event.source, event.data));
});

/** @param {MessageEventSource | null} asker @param {{ whole?: boolean, lifts?: boolean, mend?: boolean }} how */
async function verify(asker, { whole, lifts, mend }) {
  const asked = whole ? names : [...first, ...(lifts ? ofLifts : [])];
  let have = 0;
  let mended = 0;
  let reached = true;
  for (const name of asked) {
    if (leaving) return; // not answered: who asked would ask again, and wake what is to stop
    const kept = await fromCache(name);
    const good = mend ? await isWhole(kept, name) : isGood(kept, name);
    if (good) have += 1;
    else if (reached && (mend || later.includes(name))) {
      // a TypeError is how fetch says that there is no network: the others need not ask
      await keep(name, []).then(() => { mended += 1; }, (error) => { reached = !(error instanceof TypeError); });
    }
  }
  have += mended;
  const need = asked.length;
  asker?.postMessage({ type: 'verify', complete: have === need, have, need, mended, version: BUILD.id });
}
