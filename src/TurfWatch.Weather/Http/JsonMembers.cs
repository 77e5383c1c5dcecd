using System.Text.Json;

namespace TurfWatch.Weather.Http;

/// <summary>Members of JSON that may be anything: what is not there or cannot be read is told by false and null.</summary>
internal static class JsonMembers
{
    /// <summary>The member of that name, if this is an object that has one.</summary>
    public static bool TryMember(this JsonElement element, string name, out JsonElement member)
    {
        member = default;
        try
        {
            return element.ValueKind == JsonValueKind.Object
                && element.TryGetProperty(name, out member);
        }
        catch (InvalidOperationException)
        {
            return false; // A name of another member that holds half of a surrogate pair.
        }
    }

    /// <summary>The text under a name; null when it is absent or no text.</summary>
    public static string? Text(this JsonElement element, string name)
    {
        if (!element.TryMember(name, out var value) || value.ValueKind != JsonValueKind.String)
        {
            return null;
        }

        try
        {
            return value.GetString();
        }
        catch (InvalidOperationException)
        {
            return null; // Half of a surrogate pair is no text.
        }
    }
}
