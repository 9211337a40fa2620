// What this browser keeps of its own: acts that wait to be sent, and what is needed to begin one without a connection.

export type Keep = IDBDatabase;

/** Opens the database. Rejects where the browser has none, as some do for private windows. */
export function open(): Promise<Keep> {
  return new Promise((resolve, reject) => {
    const asked = indexedDB.open("throughcure", 1);
    asked.onupgradeneeded = () => {
      const acts = asked.result.createObjectStore("acts", { keyPath: "order", autoIncrement: true });
      acts.createIndex("key", "key", { unique: true });
      asked.result.createObjectStore("things");
    };
    asked.onsuccess = () => {
      // A newer page in another tab must not wait for this one.
      asked.result.onversionchange = () => asked.result.close();
      resolve(asked.result);
    };
    asked.onerror = () => reject(asked.error);
    asked.onblocked = () => reject(new Error("another tab keeps the database"));
  });
}

/** What a request of the database answers. Nothing else may be awaited inside a transaction: it would end. */
export function wait<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/** A thing that was kept under a name; undefined for none. */
export async function thing<T>(keep: Keep, name: string): Promise<T | undefined> {
  return (await wait(keep.transaction("things").objectStore("things").get(name))) as T | undefined;
}

/** Keeps a thing under its name; undefined forgets it. */
export async function keepThing(keep: Keep, name: string, value: unknown): Promise<void> {
  const things = keep.transaction("things", "readwrite").objectStore("things");
  if (value === undefined) await wait(things.delete(name));
  else await wait(things.put(value, name));
}
