using TurfWatch.Core;

namespace TurfWatch.Store;

internal static class KeptDays
{
    /// <summary>Null for nothing, and for what another version packed.</summary>
    public static SiteDays? Read(byte[]? body)
    {
        try
        {
            return body is null ? null : SiteDays.Unpack(body);
        }
        catch (FormatException)
        {
            return null;
        }
    }
}
