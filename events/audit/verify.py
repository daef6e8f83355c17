#!/usr/bin/env python3
"""Check an exported event log with nothing but the standard library.

usage: verify.py export.jsonl

Prints the number of records, of entities, of records that lost a race, and of faults; ends with 1 if there are faults.
"""
import base64
import hashlib
import json
import sys


def main(path):
    chains = {}  # entity -> hashes of its accepted records, newest last
    records = void = faults = 0
    digest = hashlib.sha256()
    with open(path, encoding="utf-8", newline="\n") as export:
        for text in export:
            record = json.loads(text)
            records += 1
            body = record.get("body", "").encode()
            if "body_base64" in record:
                body = base64.b64decode(record["body_base64"])
            headers = record["headers"] or {}
            head = "".join(f"{name}:{headers[name]}\n" for name in sorted(headers, key=str.encode))
            seen = hashlib.sha256((record["subject"] + "\n" + head + "\n").encode() + body)
            digest.update(seen.digest())
            chain = chains.setdefault(record["subject"].rsplit(".", 1)[0], ["0" * 64])
            before = headers.get("ce-prevhash", "0" * 64)
            if before == chain[-1]:
                chain.append(seen.hexdigest())
            elif before in chain:
                void += 1
            else:
                faults += 1
                print(f"position {record['seq']} ({record['subject']}) does not follow", file=sys.stderr)
    print(f"records {records} entities {len(chains)} void {void} faults {faults} digest {digest.hexdigest()}")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
