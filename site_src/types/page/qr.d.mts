export * from "lean-qr";
