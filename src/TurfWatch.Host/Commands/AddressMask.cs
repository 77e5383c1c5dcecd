namespace TurfWatch.Host.Commands;

/// <summary>An address as a log may show it: enough to tell two apart, not enough to write to.</summary>
internal static class AddressMask
{
    public static string Of(string address)
    {
        var at = address.LastIndexOf('@');
        return at < 1 ? "***" : $"{address[0]}***@{address[at + 1]}***";
    }
}
