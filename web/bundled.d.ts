// A worker, bundled by tools/pages into one text.
declare module "worker:*" {
  const text: string;
  export default text;
}
// A part that travels packed inside a script (tools/pages): the engine, a font.
declare module "packed:*" {
  const text: string;
  export default text;
}
