// What is wrong with the lines of text that can be seen: two in one place, one cut by what holds it, one beside the page.
// Of a line only its middle counts, as high as its small letters: lines may stand closer than a face is tall.
() => {
  const seen = [];
  const warnings = [...document.querySelectorAll('[data-part="warnings"] li')].map((one) => one.textContent);
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const node = walker.currentNode, held = node.parentElement;
    if (!node.data.trim() || held.closest('.unseen, script, title') || getComputedStyle(held).clipPath === 'inset(50%)') continue;
    if (!held.checkVisibility({ checkOpacity: true, checkVisibilityCSS: true })) continue;
    if (held.closest('details:not([open])') && !held.closest('summary')) continue;
    if (held.matches('.field .message[data-kind="warning"]') && warnings.includes(node.data)) continue; // one line; in full under the setup
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const { left, top, right, bottom, height } of range.getClientRects()) {
      if (right - left < 1) continue;
      const line = { text: node.data.trim().slice(0, 60), held, left, right, top: top + 0.3 * height, bottom: bottom - 0.25 * height };
      seen.push(line);
    }
  }
  const said = ({ text, held }) => `${held.closest('[id]')?.id ?? ''} ${held.className?.baseVal ?? held.className}: “${text}”`;
  const wrong = [];
  const width = document.documentElement.clientWidth;
  for (const line of seen) {
    let scrolls = false;
    for (let box = line.held; box && box !== document.body; box = box.parentElement) {
      const { overflowX, overflowY } = getComputedStyle(box);
      if (overflowX === 'auto' || overflowX === 'scroll') { scrolls = true; break; }
      if (overflowX === 'visible' && overflowY === 'visible') continue;
      const { left, right, top, bottom } = box.getBoundingClientRect();
      if (line.left < left - 1 || line.right > right + 1 || line.top < top - 1 || line.bottom > bottom + 1) wrong.push(`cut: ${said(line)}`);
    }
    line.scrolls = scrolls;
    if (!scrolls && (line.left < -1 || line.right > width + 1)) wrong.push(`beside the page: ${said(line)}`);
  }
  seen.sort((a, b) => a.top - b.top);
  for (let i = 0; i < seen.length; i += 1) {
    for (let j = i + 1; j < seen.length && seen[j].top < seen[i].bottom; j += 1) {
      const one = seen[i], other = seen[j];
      if (one.scrolls || other.scrolls) continue;
      const over = Math.min(one.right, other.right) - Math.max(one.left, other.left);
      const high = Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top);
      if (over > 1 && high > 1) wrong.push(`overlap: ${said(one)} and ${said(other)}`);
    }
  }
  if (document.documentElement.scrollWidth > width) {
    for (const box of document.querySelectorAll('body *')) {
      if (box.getBoundingClientRect().right <= width + 1 || !box.checkVisibility() || box.closest('.unseen, svg, .wide')) continue;
      wrong.push(`beside the page: ${box.tagName} ${box.id} ${box.className} in ${box.parentElement.className}`);
    }
  }
  for (const input of document.querySelectorAll('input[inputmode]')) {
    if (input.checkVisibility() && !input.readOnly && input.scrollWidth > input.clientWidth + 1) wrong.push(`cut: ${input.id} “${input.value || input.placeholder}”`);
  }
  return [seen.length, [...new Set(wrong)]];
}
