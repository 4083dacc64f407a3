// Keeps the page on this device, so that it opens without a network.
// The build fills in the next two lines: its own mark, and every file with its SHA-256.
const BUILD = '';
const FILES = {};

const PREFIX = 'sparktrail-';
const KEPT = PREFIX + BUILD;

// Every file or none: where one cannot be had, or is of another build, the page that is kept already stays.
async function keep() {
  const cache = await caches.open(KEPT);
  await Promise.all(
    Object.entries(FILES).map(async ([path, expected]) => {
      const answer = await fetch(path, { cache: 'no-cache' });
      if (!answer.ok) throw new Error(`${path}: status ${answer.status}`);
      const found = await digest(await answer.clone().arrayBuffer());
      if (found !== expected) throw new Error(`${path} is of another build than ${BUILD}`);
      await cache.put(path, answer);
    }),
  );
}

async function digest(bytes) {
  const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  return Array.from(hash, (byte) => byte.toString(16).padStart(2, '0')).join('');
}

async function answer(request) {
  const cache = await caches.open(KEPT);
  const kept = await cache.match(isPage(request.url) ? './' : request, {
    ignoreSearch: true,
    ignoreVary: true,
  });
  return kept ?? fetch(request);
}

function isPage(address) {
  const { pathname } = new URL(address);
  const root = new URL('./', location.href).pathname;
  return pathname === root || pathname === `${root}index.html`;
}

self.addEventListener('install', (event) => {
  event.waitUntil(
    keep().catch(async (error) => {
      await caches.delete(KEPT);
      throw error;
    }),
  );
});

self.addEventListener('activate', (event) => {
  event.waitUntil(
    caches.keys().then((names) => {
      const old = names.filter((name) => name.startsWith(PREFIX) && name !== KEPT);
      return Promise.all(old.map((name) => caches.delete(name)));
    }),
  );
});

self.addEventListener('fetch', (event) => {
  const { request } = event;
  if (request.method === 'GET' && new URL(request.url).origin === location.origin) {
    event.respondWith(answer(request));
  }
});

// The page asks for it once the person has.
self.addEventListener('message', (event) => {
  if (event.data === 'use-now') self.skipWaiting();
});
