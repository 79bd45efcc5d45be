start(); // above its import, which comes first all the same: a file that was cut anywhere fails aloud, and the page hears of it
import { start } from './python.mjs';
import './boot.mjs'; // what stands below python.mjs, so that all are fetched at once
import './fetching.mjs';
import './files.mjs';
import './snapshot.mjs';
import './states.mjs';
import './trouble.mjs';
