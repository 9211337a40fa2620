// What this browser keeps of its own: acts that wait to be sent, and what is needed to begin one without a connection.

/** The browser's database, opened again where the browser closed it: some do to a page that lay in the background. */
export class Keep {
  private constructor(private database: IDBDatabase) {}

  /** Rejects where the browser keeps nothing, as some do in private windows. */
  static async open(): Promise<Keep> {
    return new Keep(await opened());
  }

  /** A transaction over one of the stores; put a request to it before anything else is awaited. */
  async begin(
    store: "acts" | "things",
    mode: IDBTransactionMode = "readonly",
    options?: IDBTransactionOptions,
  ): Promise<IDBTransaction> {
    try {
      return this.database.transaction(store, mode, options);
    } catch {
      this.database = await opened();
      return this.database.transaction(store, mode, options);
    }
  }
}

function opened(): Promise<IDBDatabase> {
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
  const things = (await keep.begin("things")).objectStore("things");
  return (await wait(things.get(name))) as T | undefined;
}

/** Keeps a thing under its name; undefined forgets it. */
export async function keepThing(keep: Keep, name: string, value: unknown): Promise<void> {
  const things = (await keep.begin("things", "readwrite")).objectStore("things");
  if (value === undefined) await wait(things.delete(name));
  else await wait(things.put(value, name));
}
