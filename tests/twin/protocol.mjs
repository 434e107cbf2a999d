// Reads messages as the page and the worker do, and says for each whether it was taken.
//
//     node protocol.mjs PROTOCOL_MODULE  < {"requests": [...], "replies": [...]}

import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const module = process.argv[2];
if (module === undefined) throw new Error("the protocol's module is missing");
const { REASONS, readReply, readRequest } = await import(pathToFileURL(module).href);

/**
 * @param {(message: unknown) => unknown} read
 * @param {unknown} message
 */
function takes(read, message) {
  try {
    return read(message) === message;
  } catch (error) {
    if (error instanceof TypeError) return false;
    throw error;
  }
}

/** @type {{requests: unknown[], replies: unknown[]}} */
const { requests, replies } = JSON.parse(readFileSync(0, "utf8"));
const taken = {
  reasons: REASONS,
  requests: requests.map((message) => takes(readRequest, message)),
  replies: replies.map((message) => takes(readReply, message)),
};
process.stdout.write(JSON.stringify(taken));
