namespace TurfWatch.Store;

/// <summary>Why the store cannot do what it was asked.</summary>
public enum StoreFault
{
    /// <summary>Another TurfWatch owns the data folder.</summary>
    InUse,

    /// <summary>Another program held the database for longer than the busy timeout.</summary>
    Busy,

    /// <summary>No room, or less than the reserve.</summary>
    DiskFull,

    /// <summary>The folder, file or file system cannot be written.</summary>
    ReadOnly,

    /// <summary>The disk failed to read or write.</summary>
    Disk,

    /// <summary>The file is not a database, not ours, or damaged.</summary>
    Corrupt,

    /// <summary>A newer TurfWatch wrote it.</summary>
    NewerSchema,

    /// <summary>The folder, file or database cannot be opened.</summary>
    CannotOpen,

    /// <summary>The database server does not answer.</summary>
    Away,

    /// <summary>The connection broke in a commit: it may have been saved or not. Keys and fences make it harmless to try again.</summary>
    Unsure,
}

/// <summary>The store failed; the message is written for the operator and says what to do. Nothing was half written.</summary>
public sealed class StoreException(StoreFault fault, string message, Exception? inner = null)
    : Exception(message, inner)
{
    public StoreFault Fault { get; } = fault;

    /// <summary>It may pass by itself (room is made, the other program finishes): try again later.</summary>
    public bool MayPass =>
        Fault
            is StoreFault.Busy
                or StoreFault.DiskFull
                or StoreFault.ReadOnly
                or StoreFault.Disk
                or StoreFault.Away
                or StoreFault.Unsure;
}
