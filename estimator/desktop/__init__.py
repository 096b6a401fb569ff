"""The window: Qt stands here and in `app` only. No arithmetic, no SQL."""
