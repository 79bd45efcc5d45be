// The build puts this and what it imports into one script, in one block: a file that was cut anywhere does not parse, and the page
// hears of it.
import { start } from './python.mjs';

start();
