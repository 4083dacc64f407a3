// Puts the person's language on <html> before the first paint, and sends for its words.
(() => {
  // English is in the program; each other language has its table in words/.
  const known = ['en', 'de'];
  let chosen = null;
  try {
    chosen = localStorage.getItem('sparktrail/1/language');
  } catch {
    // Storage is closed to this page: the browser's language applies.
  }
  const wanted = [chosen, ...navigator.languages].map((language) => language?.split('-')[0].toLowerCase());
  const language = wanted.find((language) => known.includes(language)) ?? 'en';
  if (language === 'en') return;
  document.documentElement.lang = language;
  globalThis.sparktrailWords = fetch(`words/${language}.json`, { priority: 'low' })
    .then((answer) => (answer.ok ? answer.json() : null))
    .catch(() => null)
    .then((words) => {
      if (!words) document.documentElement.lang = 'en';
      return words;
    });
})();
