// What is kept in this browser, by key: pictures and files, which are too large for localStorage.

export function shelf(base, name) {
  const opened = () =>
    new Promise((done, failed) => {
      const asked = indexedDB.open(base, 1);
      asked.onupgradeneeded = () => asked.result.createObjectStore(name);
      asked.onsuccess = () => done(asked.result);
      asked.onerror = () => failed(asked.error);
    });
  // Done once the change is whole, not when it is asked for.
  const stored = async (way, act) => {
    const whole = await opened();
    return new Promise((done, failed) => {
      const change = whole.transaction(name, way);
      const asked = act(change.objectStore(name));
      change.oncomplete = () => done(asked.result);
      change.onabort = change.onerror = () => failed(change.error ?? asked.error);
    }).finally(() => whole.close());
  };
  return {
    kept: (key) => stored("readonly", (store) => store.get(key)),
    keep: (key, value) => stored("readwrite", (store) => store.put(value, key)),
    drop: (key) => stored("readwrite", (store) => store.delete(key)),
  };
}
