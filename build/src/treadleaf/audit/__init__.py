"""The last look at a finished site: what must never be published, found by rules that have keys.

`last_look` goes over a folder; `data/rules.toml` has every rule with what it says and how to mend a breach of it.
"""
