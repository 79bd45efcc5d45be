// Private parts of Pyodide, whose version is pinned: what its types do not tell.

declare namespace Python {
  /** What Emscripten makes. */
  interface Module {
    HEAPU8: Uint8Array;
    HEAPU32: Uint32Array;
    /** where the trampoline's place stands; told by runtime/slim.mjs */
    ownWord: number;
    _sbrk(by: number): number;
    _malloc(size: number): number;
    _free(place: number): void;
  }

  type Pyodide = import("pyodide").PyodideAPI & { _module: Module; makeMemorySnapshot(): Uint8Array };
  type Load = (settings: object) => Promise<Pyodide>;
  type Make = (settings: object) => Promise<Module>;
}
