/* words.js - figures in words, elements from descriptions. */
'use strict';

const page = {};

page.data = (id) => JSON.parse(document.getElementById(id).textContent);

/* An element with attributes and children; a text child is only ever text. */
page.element = (name, attributes = {}, ...children) => {
  const element = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  element.append(...children);
  return element;
};

page.svg = (name, attributes = {}, ...children) => {
  const element = document.createElementNS('http://www.w3.org/2000/svg', name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  element.append(...children);
  return element;
};

/* No minus before a zero. */
page.fixed = (value, decimals) => {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text;
};

/* Four or five significant digits, never an exponent for what a shop measures. */
page.figure = (value) => {
  if (value === null || value === undefined || !Number.isFinite(value)) return '-';
  const size = Math.abs(value);
  if (size === 0) return '0';
  const decimals = size >= 1000 ? 1 : size >= 100 ? 2 : size >= 1 ? 3 : size >= 0.001 ? 4 : 6;
  const text = page.fixed(value, decimals);
  return text.replace(/(\.\d*?)0+$/, '$1').replace(/\.$/, '');
};

/* 1:02:03.40 */
page.clock = (seconds, decimals = 2) => {
  const scale = 10 ** decimals;
  const whole = Math.round(seconds * scale);
  const hours = Math.floor(whole / (3600 * scale));
  const minutes = Math.floor(whole / (60 * scale)) % 60;
  const rest = (whole % (60 * scale)) / scale;
  const two = (n) => String(n).padStart(2, '0');
  const width = decimals > 0 ? 3 + decimals : 2;
  return `${hours}:${two(minutes)}:${rest.toFixed(decimals).padStart(width, '0')}`;
};

/* A figure and its unit stay on one line. */
page.duration = (seconds) => {
  const whole = Math.round(seconds);
  const hours = Math.floor(whole / 3600);
  const minutes = Math.floor(whole / 60) % 60;
  if (hours > 0) return `${hours}\u00a0h ${minutes}\u00a0min`;
  return minutes > 0 ? `${minutes}\u00a0min ${whole % 60}\u00a0s` : `${whole}\u00a0s`;
};

/* A long name may break behind its underlines. */
page.named = (text) =>
  page.element('span', {}, ...text.split(/(?<=_)/).flatMap((part, k) => (k > 0 ? [page.element('wbr'), part] : [part])));

/* Pairs of a word and its figure into a <dl>. */
page.facts = (list, pairs) => {
  list.replaceChildren(
    ...pairs.map(([word, figure]) =>
      page.element('div', {}, page.element('dt', {}, word), page.element('dd', {}, figure))
    )
  );
};

/* A table: caption, head, rows of cells; a cell may be an element.  A column that begins with '>'
 * holds figures, which stand right. */
page.table = (table, caption, columns, rows) => {
  const cell = (name, text, k) => {
    const attributes = columns[k].startsWith('>') ? { class: 'figure' } : {};
    if (name === 'th') attributes.scope = 'col';
    return page.element(name, attributes, text);
  };
  const head = columns.map((column, k) => cell('th', column.replace(/^>/, ''), k));
  const body = rows.map((row) => page.element('tr', {}, ...row.map((text, k) => cell('td', text, k))));
  table.replaceChildren(
    page.element('caption', {}, caption),
    page.element('thead', {}, page.element('tr', {}, ...head)),
    page.element('tbody', {}, ...body)
  );
};
