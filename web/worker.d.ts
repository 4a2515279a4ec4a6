// A worker, bundled by tools/pages into one text.
declare module "worker:*" {
  const text: string;
  export default text;
}
