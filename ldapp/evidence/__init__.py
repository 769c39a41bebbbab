"""Photo files: what they say about themselves, and how far it can be trusted.

From bytes to a judgement, in this order:

- ``source`` opens a file, hashes it in one pass, and gives bytes by position;
- ``containers`` decides by the first bytes and lets ``jpeg``, ``heif``, ``png``, ``movie``
  and ``boxes`` cut the blocks with tags out; ``exif_block`` and ``xmp`` read those;
- ``read`` makes the facts of them (``closely`` with a look at the picture itself);
- ``verify`` judges facts in their context: ``times`` chooses the date, ``settle`` makes an
  instant of it (``offsets``, ``zones``, ``satellite``, ``references``), and the rules of
  ``rules_dates``, ``rules_handling`` and ``rules_outside`` add their findings;
- ``report`` does all of this for many files;
- ``pictures`` and ``previews`` decode pictures, ``codes`` and ``counter_code`` read and draw
  codes.  Nothing above depends on a picture that can be decoded.
"""
